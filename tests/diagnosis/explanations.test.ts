import { describe, expect, test } from "vitest";
import { diagnose } from "../../src/diagnosis/diagnose.ts";
import type { ExplanationKind } from "../../src/domain/explanation-kinds.ts";
import type { WalkDiagnosis } from "../../src/domain/findings.ts";
import { meter, type Shown, sheet, smallPool } from "../reference/builders.ts";

const points = ["timer", "harness", "plate", "pod"];
const everywhere = (shown: number): Shown[] =>
  ["a", "b"].flatMap((device) => points.map((point): Shown => [1, device, point, shown]));
const pool = smallPool([1], ["a", "b"]);
const chanceOf = ({ explanations }: WalkDiagnosis, kind: ExplanationKind): number =>
  explanations.find((one) => one.kind === kind)?.probability ?? 0;

describe("a low supply", () => {
  // E ~ Normal(5.00, 0.05): low is under 4.90 V (model, section 5; two standard deviations).
  test("is named where every reading is low alike", () => {
    const walk = diagnose(pool, sheet(everywhere(4.84)));
    expect(chanceOf(walk, "supply-low")).toBeGreaterThan(0.95);
    expect(walk.emf.median).toBeLessThan(4.9);
  }, 60_000);

  test("is not named at nominal volts", () => {
    expect(chanceOf(diagnose(pool, sheet(everywhere(4.98))), "supply-low")).toBe(0);
  }, 60_000);
});

test("a blind meter is named, and one that sees is not", () => {
  expect(chanceOf(diagnose(pool, sheet(everywhere(4.98))), "meter-blind")).toBe(0);
  // 60 ohm in front of 10 megohm moves 5 V by 30 microvolts: nothing on a display of 10 mV.
  const blind = smallPool([1], ["a", "b"], { meters: [meter("deck", 1e7, 0.01)] });
  expect(chanceOf(diagnose(blind, sheet(everywhere(4.98))), "meter-blind")).toBe(1);
}, 60_000);

describe("another load than the pool file's", () => {
  const four = smallPool([1, 2, 3, 4], ["a"]);
  const lanes = [1, 2, 3, 4];
  // A load of 500 ohm reads 5 * 500 / (500 + S) V behind S ohms of copper and sound contacts, with
  // copper 10 ohm to the pod: nowhere near what 1000 ohm shows.
  const copper = smallPool(lanes, ["a"], {
    chain: four.chain.map((one) => ({ ...one, wireOhms: (10 * one.wireOhms) as never })),
  });
  const series = (point: number): number => [1, 7, 27, 30][point]! + 0.2 * (point + 1);
  const readWith = (load: number): Shown[] =>
    lanes.flatMap((lane) =>
      points.map((point, k): Shown => {
        const volts = (5 * load) / (load + series(k));
        return [lane, "a", point, Number(volts.toFixed(2))];
      }),
    );

  test("is found where all circuits lose volts as with half the load", () => {
    expect(chanceOf(diagnose(copper, sheet(readWith(500))), "meter-load")).toBeGreaterThan(0.5);
  }, 60_000);

  test("is not asked where the readings are those of the pool file's load", () => {
    expect(chanceOf(diagnose(copper, sheet(readWith(1000))), "meter-load")).toBe(0);
  }, 60_000);

  test("is not asked for where nobody wants rivals", () => {
    expect(chanceOf(diagnose(copper, sheet(readWith(500)), false), "meter-load")).toBe(0);
  }, 60_000);
});

test("a walk without resting readings says nothing", () => {
  expect(diagnose(pool, []).explanations).toEqual([]);
  const pressed = sheet(everywhere(0.1)).map((one) => ({ ...one, state: "pressed" as const }));
  expect(diagnose(pool, pressed)).toMatchObject({ explanations: [], circuits: [], contacts: [] });
});
