import { describe, expect, test } from "vitest";
import { emfRange } from "../../src/diagnosis/emf-pilot.ts";
import { pathEnd } from "../../src/diagnosis/path-end.ts";
import { type Shown, sheet, smallPool } from "../reference/builders.ts";
import { readPart } from "./part.ts";

const pool = smallPool([1], ["touchpad"]);
const points = pool.chain.map(({ point }) => point);
const chain = (...volts: readonly (number | null)[]): readonly Shown[] =>
  volts.flatMap((shown, i): readonly Shown[] =>
    shown === null ? [] : [[1, "touchpad", points[i]!, shown]],
  );

function endOf(shown: readonly Shown[]): { end: number; highest: number } {
  const walk = readPart(pool, sheet(shown));
  const links = walk.lanes[0]!.circuits[0]!.readings;
  const range = emfRange(walk.sketch, [[links]], { mean: pool.supply.emf, sd: pool.supply.emfSd });
  return { end: pathEnd(walk.sketch, links, range), highest: range.high };
}

describe("a path has no more resistance than its readings allow", () => {
  test("where they agree: the divider's, at the highest EMF and five noises under the lowest", () => {
    const { end, highest } = endOf(chain(4.98, 4.97, 4.97, 4.94));
    // Ohm's law: V = E R_load / (R_load + R_wire + t), solved for t.
    const { loadOhms, noise } = pool.meters[0]!;
    const wire = pool.chain.reduce((ohms, link) => ohms + link.wireOhms, 0);
    const lowest = 4.94 - 0.005 - 5 * noise;
    expect(end).toBeCloseTo((highest * loadOhms!) / lowest - loadOhms! - wire, 6);
  });

  test.each([
    ["the last point was not read", chain(4.98, 4.97, 4.97, null)],
    ["a reading is 0 V", chain(4.98, 4.97, 4.97, 0)],
    ["the last reading must be wrong, so that it says nothing", chain(3.1, 3.1, 3.1, 4.97)],
  ])("but any where %s", (_, shown) => {
    expect(endOf(shown).end).toBe(Number.POSITIVE_INFINITY);
  });
});
