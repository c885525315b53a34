import { describe, expect, test } from "vitest";
import { diagnose } from "../../src/diagnosis/diagnose.ts";
import type { WalkDiagnosis } from "../../src/domain/findings.ts";
import { readPool } from "../../src/intake/pool/read-pool.ts";
import { readReadings } from "../../src/intake/read-readings.ts";
import { isAllSound } from "../../src/report/verdict-lines.ts";

/**
 * What the first version got wrong on a real deck, told as walks at the model's own defaults. Volts
 * come from equation (1), V = E RL / (RL + Rs + S), worked out here.
 */

const points = ["timer", "harness", "plate", "pod"] as const;
/** Copper up to each point, and as many sound contacts of 0.2 ohm. */
const soundSeries = [0.3, 1.1, 3.3, 3.8];

const poolWith = (load: string, source = "0"): string =>
  [
    "pool: deck",
    "lanes: 1",
    "devices: [pad]",
    `supply: { source_ohms: ${source} }`,
    `meters: [{ name: deck, load_ohms: ${load}, resolution: 0.01, noise: 0.02 }]`,
    "limit: { volts: 4.8, meter: deck }",
  ].join("\n");

/** @param lines Rows of lane, device, point, volts. */
function diagnosedSheet(poolText: string, lines: readonly string[]): WalkDiagnosis {
  const pool = readPool(poolText, "pool.yaml");
  if (!pool.ok) throw new Error(pool.error.map(({ message }) => message).join("; "));
  const text = ["lane,device,point,volts", ...lines].join("\n");
  return diagnose(pool.value, readReadings(text, pool.value, "readings.csv").readings, false);
}

const diagnosed = (
  poolText: string,
  rows: readonly (readonly [point: string, volts: number])[],
): WalkDiagnosis =>
  diagnosedSheet(
    poolText,
    rows.map(([point, volts]) => `1,pad,${point},${volts.toFixed(2)}`),
  );

const shown = (series: number, load = 1000, source = 0): number =>
  (5 * load) / (load + source + series);
const atFault = (walk: WalkDiagnosis, point: string): number =>
  walk.connectors.find((one) => one.point === point)!.atFault;

describe("a pod is never less guilty for being worse", () => {
  test.each([60, 1000, 2000, 50_000])(
    "%d ohm",
    (extra) => {
      const rows = points.map((point, k) => {
        const series = soundSeries[k]! + (point === "pod" ? extra : 0);
        return [point, shown(series)] as const;
      });
      const walk = diagnosed(poolWith("1000"), rows);
      expect(atFault(walk, "pod")).toBeGreaterThan(0.8);
      expect(walk.connectors[0]!.point).toBe("pod");
      expect(isAllSound(walk)).toBe(false);
    },
    120_000,
  );
});

test("4.98, 2.10, 4.97 V at one point: read again, not sound", () => {
  const walk = diagnosed(poolWith("1000"), [
    ["pod", 4.98],
    ["pod", 2.1],
    ["pod", 4.97],
  ]);
  expect(walk.circuits[0]!.verdict).toBe("read-again");
  expect(walk.readAgain.some(({ point }) => point === "pod")).toBe(true);
  expect(isAllSound(walk)).toBe(false);
}, 120_000);

test("four agreeing readings of 3.75 V on a 10 megohm meter are not sound", () => {
  const walk = diagnosed(
    poolWith("1e7"),
    [1, 2, 3, 4].map(() => ["pod", 3.75] as const),
  );
  expect(walk.circuits[0]!.verdict).not.toBe("sound");
}, 120_000);

test("an unknown load can pass nothing, and says so", () => {
  const walk = diagnosed(
    poolWith("unknown"),
    points.map((point) => [point, 4.98] as const),
  );
  expect(walk.circuits[0]).toMatchObject({ verdict: "read-again", reason: "unknown-load" });
}, 120_000);

test("a sound pool behind 220 ohm inside the timer: its outlet is not accused", () => {
  const rows = points.map((point, k) => [point, shown(soundSeries[k]!, 1000, 220)] as const);
  const walk = diagnosed(poolWith("1000", "unknown"), rows);
  expect(atFault(walk, "timer")).toBeLessThan(0.5);
}, 120_000);

describe("what conducts explains low volts before contacts do", () => {
  // Behind a source of 50 ohm: points before the shunt see E behind Rs + S, loaded by RL beside the
  // rest of the loop; all points are low together.
  const source = 50;
  const withShunt = (rd: number, at: number) =>
    points.map((point, k) => {
      const [before, behind] = [soundSeries[Math.min(k, at)]!, soundSeries[at]!];
      const loop = behind - before + rd;
      const load = 1 / (1 / 1000 + 1 / loop);
      const here = (5 * load) / (load + source + before);
      // Behind the shunt a meter of 1000 ohm adds its own load to it.
      const across = 1 / (1 / rd + 1 / (1000 + soundSeries[k]! - behind));
      const volts = (5 * across) / (across + source + behind);
      const seen = (volts * 1000) / (1000 + soundSeries[k]! - behind);
      return [point, k <= at ? here : seen] as const;
    });

  test("a switch stuck closed", () => {
    const walk = diagnosed(poolWith("1000", "50"), withShunt(2, 3));
    expect(walk.explanations[0]).toMatchObject({ kind: "stuck", device: "pad" });
    expect(walk.explanations[0]!.probability).toBeGreaterThan(0.9);
    for (const { atFault: p } of walk.connectors) expect(p).toBeLessThan(0.5);
  }, 120_000);

  test("water across a plate", () => {
    const walk = diagnosed(poolWith("1000", "50"), withShunt(300, 2));
    expect(atFault(walk, "timer")).toBeLessThan(0.5);
    const kinds = walk.explanations.filter(({ probability }) => probability > 0.1);
    expect(kinds.map(({ kind }) => kind)).toContain("wet");
  }, 120_000);
});

test("1.6 V at a pod is a fault, in each of three walks", () => {
  const rows = [
    ...points.slice(0, 3).map((point) => [point, 4.98] as const),
    ["pod", 1.6] as const,
  ];
  for (const walk of [1, 2, 3].map(() => diagnosed(poolWith("1000"), rows))) {
    expect(atFault(walk, "pod")).toBeGreaterThan(0.8);
    expect(walk.circuits[0]!.verdict).not.toBe("sound");
  }
}, 120_000);

test("one circuit of a second supply reads 4.80 V throughout: its outlet, or the supply", () => {
  const file = [
    "pool: two supplies",
    "lanes: 5",
    "devices: [pad]",
    "supplies:",
    "  - { name: A, emf: 5, emf_sd: 0.05, source_ohms: 0, lanes: [1, 2, 3, 4] }",
    "  - { name: B, emf: 5, emf_sd: 0.05, source_ohms: 0, lanes: [5] }",
    "meters: [{ name: deck, load_ohms: 1000, resolution: 0.01, noise: 0.02 }]",
  ].join("\n");
  const rows = [1, 2, 3, 4, 5].flatMap((lane) =>
    points.map((point, k) => {
      const volts = lane === 5 ? 4.8 : shown(soundSeries[k]!);
      return `${lane},pad,${point},${volts.toFixed(2)}`;
    }),
  );
  const walk = diagnosedSheet(file, rows);
  const outlet = walk.connectors.find(
    ({ point, lanes }) => point === "timer" && lanes.includes(5),
  )!;
  // e^-8 of an EMF four standard deviations low stands against a fouled outlet of any resistance.
  expect(outlet.atFault).toBeGreaterThan(0.5);
  expect(outlet.atFault).toBeLessThan(0.99);
  expect(walk.supplies.find(({ name }) => name === "B")!.emf.low).toBeLessThan(4.85);
}, 120_000);

test("a walk three times as noisy as stated, two pods open, one at 100 ohm", () => {
  const links = [
    "class: harness, wire_ohms: 0.6, shared_by: lane",
    "class: plate, wire_ohms: 2, shared_by: lane",
    "class: pod, wire_ohms: 0.3, shared_by: device",
  ];
  const places = ["harness", "plate", "pod"];
  const file = [
    "pool: deck",
    "lanes: 1-4",
    "devices: [touchpad, button-1]",
    "supply: { source_ohms: 0 }",
    "meters: [{ name: deck, load_ohms: 1000, resolution: 0.01, noise: 0.02 }]",
    "model: { stuck: 0, leaking: 0, wet_leak: 0, blank: 0 }",
    "chain:",
    ...links.map(
      (link, k) =>
        `  - { point: ${places[k]}, connector: ${places[k]}, ${link}, intermittent: 0, cable_break: 0 }`,
    ),
  ].join("\n");
  // Drawn: sound paths show 4.94 V with a standard deviation of 0.06 V.
  const volts = [
    [4.93, 4.92, 4.44, 4.84, 4.91, 4.97],
    [4.89, 4.98, 4.94, 4.98, 4.91, 0],
    [4.87, 4.92, 4.89, 4.79, 4.99, 4.98],
    [5, 4.99, 0.08, 4.9, 4.96, 4.96],
  ];
  const rows = volts.flatMap((own, k) =>
    own.map((value, i) => {
      const device = i < 3 ? "touchpad" : "button-1";
      return `${k + 1},${device},${places[i % 3]},${value}`;
    }),
  );
  const walk = diagnosedSheet(file, rows);
  const suspects = walk.connectors.filter((one) => one.atFault >= 0.5);
  expect(suspects.map(({ point, lanes, device }) => `${point} ${lanes} ${device}`).sort()).toEqual([
    "pod 1 touchpad",
    "pod 2 button-1",
    "pod 4 touchpad",
  ]);
  const { median } = walk.loads[0]!.noise;
  expect(median).toBeGreaterThan(0.03);
  expect(median).toBeLessThan(0.07);
}, 120_000);
