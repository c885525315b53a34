import { expect, test } from "vitest";
import { emptyShelf } from "../../src/inference/chain/circuit-model.ts";
import { infer } from "../../src/inference/infer.ts";
import { ResistanceMass } from "../../src/inference/resistance.ts";
import { type SharedPlace, seriesShown, shownChance } from "./path-leaves.ts";
import { chances, circuit, link, reading, walkOf } from "./small-walks.ts";

/**
 * The resistances of two contacts that a quiet meter tells to a few ohm, against their joint density on an
 * even grid of ohms: the laws of both contacts times equation (4) of each reading, summed along either.
 */
const place: SharedPlace = { emf: 5, drift: 0, noiseScale: 1, source: 20, loads: [1000] };
const WIRES = [5, 9];
const film = [
  { share: 0.7, medianOhms: 60, logSd: 0.9 },
  { share: 0.3, medianOhms: 250, logSd: 0.6 },
];
const tight = [{ share: 1, medianOhms: 0.5, logSd: 0.5 }];
const joints = WIRES.map((ohms) => ({
  ...link(ohms, chances({ fouled: 0.3, open: 0.01 })),
  ...{ sound: tight, fouled: film },
}));
const densityOf = (law: typeof film, r: number): number =>
  law.reduce((sum, { share, medianOhms, logSd }) => {
    const z = Math.log(r / medianOhms) / logSd;
    return sum + (share * Math.exp(-0.5 * z * z)) / (logSd * r * Math.sqrt(2 * Math.PI));
  }, 0);
const prior = (r: number): number => 0.69 * densityOf(tight, r) + 0.3 * densityOf(film, r);

interface Span {
  readonly from: number;
  readonly to: number;
  readonly step: number;
}
const valuesOf = ({ from, to, step }: Span) =>
  Array.from({ length: Math.round((to - from) / step) }, (_, i) => from + (i + 0.5) * step);

/** Where either resistance has these parts of the posterior under it. */
function byGrid(shown: readonly [number, number], noise: number, spans: readonly [Span, Span]) {
  const own = shown.map((v, k) => reading(k, v, { noise, halfStep: 0.002, tails: 0, floor: 1e-9 }));
  const [first, second] = spans.map(valuesOf);
  const marginals = [first!.map(() => 0), second!.map(() => 0)];
  for (const [i, a] of first!.entries()) {
    const near = shownChance(own[0]!, seriesShown(place, own[0]!, WIRES[0]! + a), 1) * prior(a);
    for (const [j, b] of second!.entries()) {
      const series = WIRES[0]! + a + WIRES[1]! + b;
      const joint = near * prior(b) * shownChance(own[1]!, seriesShown(place, own[1]!, series), 1);
      marginals[0]![i]! += joint;
      marginals[1]![j]! += joint;
    }
  }
  const quantiles = [first!, second!].map((values, k) => {
    const total = marginals[k]!.reduce((sum, x) => sum + x, 0);
    return [0.05, 0.5, 0.95].map((p) => {
      let under = 0;
      for (const [i, mass] of marginals[k]!.entries()) {
        under += mass;
        if (under >= p * total) {
          return values[i]! + spans[k]!.step * (0.5 - (under - p * total) / mass);
        }
      }
      return Number.NaN;
    });
  });
  const walk = walkOf([circuit(joints, [[own[0]!], [own[1]!]])]);
  return { walk, quantiles };
}

const cases = [
  // 5000 / V less all in front: 86 and 42.7 ohm, 2.5 ohm of noise each.
  {
    name: "both fouled",
    ...byGrid([4.5, 4.3], 0.01, [
      { from: 60, to: 112, step: 0.2 },
      { from: 10, to: 80, step: 0.2 },
    ]),
  },
  // 642 and 303 ohm, a noise of 1.1 and 1.5.
  {
    name: "far out",
    ...byGrid([3, 2.535], 0.002, [
      { from: 636, to: 648, step: 0.05 },
      { from: 287, to: 310, step: 0.05 },
    ]),
  },
  // 4.858 V lets the first be sound, 4.81 V makes the second one that is not.
  {
    name: "the first sound, the second hardly worse",
    ...byGrid([4.876, 4.838], 0.003, [
      { from: 0, to: 6, step: 0.02 },
      { from: 0, to: 8, step: 0.02 },
    ]),
  },
];

test.each(cases)("of two contacts that a quiet meter tells: $name", ({ walk, quantiles }) => {
  const { ohms } = infer(walk, emptyShelf(1000)).circuits[0]!;
  for (const [k, [low, median, high]] of quantiles.entries()) {
    const width = high! - low!;
    expect(width).toBeGreaterThan(0);
    for (const [found, exact] of [
      [ohms[k]!.low, low!],
      [ohms[k]!.median, median!],
      [ohms[k]!.high, high!],
    ] as const) {
      expect(Math.abs(found - exact)).toBeLessThan(0.005 * width);
    }
  }
});

test("what nothing was seen of has its law's quantiles, and is infinite beyond what is not open", () => {
  const mass = new ResistanceMass();
  const law = { sound: [{ share: 1, medianOhms: 2, logSd: 0.5 }], fouled: film };
  mass.addUnseen(law, 0.3, 0, 0.1, 2);
  // Sound three times in four: the quantile 0.375 is its median, 0.74 near its end, 0.76 open.
  const [half, far, open] = mass.quantiles([0.375, 0.74, 0.76]);
  expect(half).toBeCloseTo(2, 6);
  expect(far).toBeGreaterThan(5);
  expect(Number.isFinite(far)).toBe(true);
  expect(open).toBe(Number.POSITIVE_INFINITY);
  // Parts that come to nothing leave no trace.
  mass.addPrior([{ share: 1, medianOhms: 1e-9, logSd: 0.1 }], 1e-7);
  expect(mass.quantiles([1e-9])[0]).toBeGreaterThan(1e-3);
});
