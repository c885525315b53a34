import { expect, test } from "vitest";
import type { WalkProblem } from "../../src/inference/problem.ts";
import { sharedNumbers } from "../../src/inference/shared-numbers.ts";
import { chances, circuit, link, reading, walkOf } from "./small-walks.ts";

/** Nodes and weights of the three-node Gauss-Hermite rule (Abramowitz & Stegun, table 25.10). */
const rule = [
  { z: -Math.sqrt(3), weight: 1 / 6 },
  { z: 0, weight: 2 / 3 },
  { z: Math.sqrt(3), weight: 1 / 6 },
];
const path = (supply: number) => circuit([link(1, chances({}))], [[reading(0, 5)]], { supply });
const at = (over: object, weight: number) => ({
  nuisance: { emf: [5], drift: 0, noiseScale: 1, sourceOhms: [20], loadOhms: [1000], ...over },
  weight,
});

test("a normal's three nodes give its median and its 5 % and 95 % quantiles", () => {
  const nodes = rule.map(({ z, weight }) =>
    at({ emf: [5 + 0.02 * z], drift: 0.01 * z, noiseScale: Math.exp(0.3 * z) }, weight),
  );
  const { emf, drift, noiseScale } = sharedNumbers(walkOf([path(0)]), nodes);
  expect(emf[0]!.median).toBeCloseTo(5, 12);
  // 1.644854 standard deviations (Abramowitz & Stegun, table 26.5).
  expect(emf[0]!.high).toBeCloseTo(5 + 0.02 * 1.644854, 7);
  expect(emf[0]!.low).toBeCloseTo(5 - 0.02 * 1.644854, 7);
  expect(drift.high).toBeCloseTo(0.01 * 1.644854, 7);
  expect(noiseScale.median).toBeCloseTo(1, 12);
  expect(noiseScale.low).toBeCloseTo(Math.exp(-0.3 * 1.644854), 6);
});

test("an EMF that goes with one of two sources has the quantiles of both normals together", () => {
  const nodes = rule.flatMap(({ z, weight }) => [
    at({ emf: [4.9 + 0.02 * z], sourceOhms: [20] }, 0.3 * weight),
    at({ emf: [5.2 + 0.02 * z], sourceOhms: [70] }, 0.7 * weight),
  ]);
  const [emf] = sharedNumbers(walkOf([path(0)]), nodes).emf;
  // P(z) is 1/6 at -0.96742, 2/7 at -0.56595, 13/14 at 1.46523 (interpolated in Abramowitz & Stegun, table 26.1).
  expect(emf!.low).toBeCloseTo(4.9 - 0.02 * 0.96742, 6);
  expect(emf!.median).toBeCloseTo(5.2 - 0.02 * 0.56595, 6);
  expect(emf!.high).toBeCloseTo(5.2 + 0.02 * 1.46523, 6);
});

test("each part's skewness is followed as Cornish and Fisher's first term has it", () => {
  // Nodes 0 and 1 as below, once more ten further on and for another source: half of each.
  const nodes = [0, 10].flatMap((from, k) => [
    at({ emf: [from], sourceOhms: [k] }, 0.4),
    at({ emf: [from + 1], sourceOhms: [k] }, 0.1),
  ]);
  const [emf] = sharedNumbers(walkOf([path(0)]), nodes).emf;
  // A tenth of the lower part lies under 5 %, of the upper one over 95 %: z = 1.281552 (table 26.5).
  const z = 1.281552;
  const bend = (z * z - 1) / 6;
  expect(emf!.low).toBeCloseTo(0.2 + 0.4 * (-z + bend), 6);
  expect(emf!.high).toBeCloseTo(10.2 + 0.4 * (z + bend), 6);
});

test("skewness moves quantiles as Cornish and Fisher's first term does", () => {
  // 0 with chance 0.8, 1 with 0.2: mean 0.2, variance 0.16, skewness (1 - 2 x 0.2) / 0.4 = 1.5, cut at 1.
  const nodes = [at({ drift: 0 }, 0.8), at({ drift: 1 }, 0.2)];
  const { drift } = sharedNumbers(walkOf([path(0)]), nodes);
  expect(drift.median).toBeCloseTo(0.2 - 0.4 / 6, 12);
  expect(drift.high).toBeCloseTo(0.2 + 0.4 * (1.644854 + (1.644854 ** 2 - 1) / 6), 6);
  const mirrored = sharedNumbers(walkOf([path(0)]), [at({ drift: 0 }, 0.2), at({ drift: 1 }, 0.8)]);
  expect(mirrored.drift.median).toBeCloseTo(0.8 + 0.4 / 6, 12);
});

test("a source that is one of a few exact values has these for quantiles", () => {
  const nodes = [
    at({ sourceOhms: [100] }, 0.3),
    at({ sourceOhms: [0] }, 0.3),
    at({ sourceOhms: [50] }, 0.25),
    at({ sourceOhms: [50] }, 0.15),
  ];
  const { sourceOhms, loadOhms } = sharedNumbers(walkOf([path(0)]), nodes);
  expect(sourceOhms[0]).toEqual({ low: 0, median: 50, high: 100 });
  expect(loadOhms[0]).toEqual({ low: 1000, median: 1000, high: 1000 });
});

/** A node of a source that stands for what lies from one value to another [Ω]. */
const over = (low: number, high: number, weight: number) => ({
  ...at({ sourceOhms: [Math.sqrt(low * high)] }, weight),
  stretches: { sourceOhms: [{ low, high }], loadOhms: [{ low: 1000, high: 1000 }] },
});

test("ohms of which nodes stand for stretches lie evenly in ln ohm over each", () => {
  // 5 ohm exactly with a chance of 0.2, else even in ln from 10 to 1000: five stretches of a panel.
  const ends = [10, 15, 60, 200, 700, 1000];
  const nodes = ends
    .slice(1)
    .map((high, i) => over(ends[i]!, high, (0.8 * Math.log(high / ends[i]!)) / Math.log(100)));
  const [found] = sharedNumbers(walkOf([path(0)]), [
    at({ sourceOhms: [5] }, 0.2),
    ...nodes,
  ]).sourceOhms;
  expect(found!.low).toBe(5);
  expect(found!.median).toBeCloseTo(10 * 100 ** ((0.5 - 0.2) / 0.8), 9);
  expect(found!.high).toBeCloseTo(10 * 100 ** ((0.95 - 0.2) / 0.8), 9);
});

test("stretches that lie over each other, and an exact value among them, are added up", () => {
  // Up to 100 ohm: 0.4 of one and half of 0.4; then 0.2 at 100 ohm itself.
  const nodes = [over(1, 10, 0.4), over(10, 1000, 0.4), at({ sourceOhms: [100] }, 0.2)];
  const [found] = sharedNumbers(walkOf([path(0)]), nodes).sourceOhms;
  expect(found!.low).toBeCloseTo(10 ** (0.05 / 0.4), 9);
  expect(found!.median).toBeCloseTo(10 * 100 ** (0.1 / 0.4), 9);
  expect(found!.high).toBeCloseTo(10 * 100 ** ((0.95 - 0.6) / 0.4), 9);
  const [tied] = sharedNumbers(walkOf([path(0)]), [
    over(1, 100, 0.5),
    over(10, 1000, 0.5),
  ]).sourceOhms;
  // From 10 to 100 ohm both: half at the middle of 1 to 1000.
  expect(tied!.median).toBeCloseTo(Math.sqrt(1000), 9);
  expect(tied!.low).toBeCloseTo(100 ** 0.1, 9);
});

test("an EMF that was followed beside another's may have any shape, from twelve values on", () => {
  const two: WalkProblem = walkOf([path(0), path(1)]);
  const walk = { ...two, supplies: [two.supplies[0]!, two.supplies[0]!] };
  const of = (count: number) => {
    const nodes = Array.from({ length: count }, (_, i) => at({ emf: [i, 7] }, 1 / count));
    return sharedNumbers(walk, nodes).emf[0]!;
  };
  // Even weights: the 95 % quantile of 20 values is at 18.5; of 3 values a normal's, 1 + 0.8165 x 1.6449.
  expect(of(20).high).toBeCloseTo(18.5, 9);
  expect(of(3).high).toBeCloseTo(1 + Math.sqrt(2 / 3) * 1.644854, 6);
});
