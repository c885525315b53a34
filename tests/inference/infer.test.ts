import { describe, expect, test } from "vitest";
import { emptyShelf } from "../../src/inference/chain/circuit-model.ts";
import { infer } from "../../src/inference/infer.ts";
import { exactOhms, type WalkProblem } from "../../src/inference/problem.ts";
import { type GridFineness, gridSums } from "./grid-sums.ts";
import { chances, circuit, link, reading, walkOf } from "./small-walks.ts";

/** Walks whose shared numbers nobody knows, against a grid over all of them (`grid-sums.ts`). */

const one = [{ share: 1, medianOhms: 80, logSd: 0.5 }];
const joint = { ...link(5, chances({ fouled: 0.2, open: 0.02 })), fouled: one };
const fine = { halfStep: 0.01, noise: 0.06 };
const supply = { emf: 5, emfSd: 0.05, sourceOhms: exactOhms(20) };
const fineness: GridFineness = { sound: 7, fouled: 31, emf: 33, drift: 7, scale: 7, source: 121 };
const path = (first: number, values: readonly number[], of = 0) =>
  circuit(
    [joint],
    [
      values.map((shown, i) =>
        reading(first + i, shown, { ...fine, order: -0.5 + 0.2 * (first + i) }),
      ),
    ],
    { supply: of },
  );

/** What is asked of ln of the evidence and of states: a star of few nodes is the roughest. */
interface Within {
  readonly evidence: number;
  readonly states: number;
}

const cases: readonly [string, Within, WalkProblem][] = [
  [
    "EMF, drift and noise of one circuit",
    { evidence: 0.01, states: 0.01 },
    walkOf([path(0, [4.72, 4.7, 4.75])], { supplies: [supply], driftSd: 0.05, noiseLogSd: 0.2 }),
  ],
  [
    "EMF and noise of one circuit",
    { evidence: 0.001, states: 2e-4 },
    walkOf([path(0, [4.55, 4.5])], { supplies: [supply], noiseLogSd: 0.2 }),
  ],
  [
    "EMF and noise of four circuits",
    { evidence: 0.06, states: 0.003 },
    walkOf([path(0, [4.86]), path(1, [4.87]), path(2, [4.84, 4.87]), path(4, [4.85])], {
      supplies: [supply],
      noiseLogSd: 0.2,
    }),
  ],
  [
    "two supplies",
    { evidence: 0.03, states: 0.004 },
    walkOf([path(0, [4.8, 4.83]), path(2, [4.6], 1)], {
      supplies: [supply, { ...supply, emf: 4.9 }],
      noiseLogSd: 0.2,
    }),
  ],
  [
    "a source that nobody measured",
    { evidence: 0.05, states: 0.02 },
    walkOf([path(0, [4.6, 4.58])], {
      supplies: [
        {
          ...supply,
          sourceOhms: { exact: [{ chance: 0.4, ohms: 0 }], medianOhms: 50, logSd: 0.5 },
        },
      ],
    }),
  ],
];
const all = cases.map(([name, within, walk]) => ({
  ...{ name, within, walk },
  truth: gridSums(walk, fineness),
}));

test.each(all)("$name", ({ walk, truth, within }) => {
  const { logEvidence, shared, circuits } = infer(walk, emptyShelf(1000));
  expect(Math.abs(logEvidence - truth.logEvidence)).toBeLessThan(within.evidence);
  for (const [c, links] of truth.states.entries()) {
    for (const [k, states] of links.entries()) {
      for (const [x, p] of states.entries()) {
        expect(Math.abs(circuits[c]!.states[k]![x]! - p)).toBeLessThan(within.states);
      }
    }
  }
  for (const [s, { low, median, high }] of truth.emf.entries()) {
    const gaps = [
      shared.emf[s]!.low - low,
      shared.emf[s]!.median - median,
      shared.emf[s]!.high - high,
    ];
    expect(Math.max(...gaps.map(Math.abs))).toBeLessThan(0.01);
  }
  // The grid knows these to half a step of its own.
  expect(Math.abs(shared.drift.median - truth.drift.median)).toBeLessThan(0.01);
  expect(Math.abs(Math.log(shared.noiseScale.median / truth.noiseScale.median))).toBeLessThan(0.05);
  expect(shared.noiseScale.high / shared.noiseScale.low).toBeGreaterThan(
    walk.noiseLogSd > 0 ? 1.7 : 0.99,
  );
  for (const [s, { low, median }] of truth.sourceOhms.entries()) {
    expect(Math.abs(shared.sourceOhms[s]!.median - median)).toBeLessThan(1);
    expect(Math.abs(shared.sourceOhms[s]!.low - low)).toBeLessThan(1);
  }
});

describe("an EMF whose posterior is normal", () => {
  // No fault, next to no resistance: a reading of E 1000 / 1025 with a noise of 0.03 V.
  const part = 1000 / 1025;
  const plain = {
    ...link(5, chances({})),
    sound: [{ share: 1, medianOhms: 1e-3, logSd: 0.1 }],
  };
  const sharp = { halfStep: 0.002, noise: 0.03, tails: 0, slope: 1, floor: 1e-12 };
  const read = (first: number, values: readonly number[], of: number) =>
    circuit([plain], [values.map((shown, i) => reading(first + i, shown, sharp))], { supply: of });
  const exactly = (values: readonly number[], mean = 5) => {
    const precision = 1 / 0.05 ** 2 + values.length * (part / 0.03) ** 2;
    const pull = values.reduce((sum, v) => sum + (v * part) / 0.03 ** 2, mean / 0.05 ** 2);
    const [at, sd] = [pull / precision, 1 / Math.sqrt(precision)];
    return { sd, low: at - 1.6449 * sd, median: at, high: at + 1.6449 * sd };
  };
  const near = (
    found: { low: number; median: number; high: number },
    { sd, ...exact }: ReturnType<typeof exactly>,
    within: number,
  ) => {
    for (const key of ["low", "median", "high"] as const) {
      expect(Math.abs(found[key] - exact[key])).toBeLessThan(within * sd);
    }
  };

  test("of one supply has that normal's quantiles, another that nobody read its prior's", () => {
    const values = [4.83, 4.85];
    const walk = walkOf([read(0, values, 1)], {
      supplies: [{ ...supply, emfSd: 0, emf: 4.7 }, supply],
    });
    const { shared } = infer(walk, emptyShelf(1000));
    near(shared.emf[1]!, exactly(values), 0.02);
    expect(shared.emf[0]!.low).toBeCloseTo(4.7, 9);
    expect(shared.emf[0]!.high).toBeCloseTo(4.7, 9);
  });

  test("of two supplies each has its own", () => {
    const [one, two] = [
      [4.83, 4.85],
      [4.9, 4.93],
    ];
    const walk = walkOf([read(0, one!, 0), read(2, two!, 1)], { supplies: [supply, supply] });
    const { shared } = infer(walk, emptyShelf(1000));
    near(shared.emf[0]!, exactly(one!), 0.5);
    near(shared.emf[1]!, exactly(two!), 0.5);
  });

  test("of a supply whose source is one of two is the mixture of both", () => {
    const values = [4.83, 4.85];
    const told = (all: readonly [number, number], emfSd: number) => {
      const exact = all.map((ohms) => ({ chance: 0.5, ohms }));
      const sourceOhms = { exact, ...{ medianOhms: 1, logSd: 1 } };
      const walk = walkOf([read(0, values, 0)], { supplies: [{ ...supply, emfSd, sourceOhms }] });
      return infer(walk, emptyShelf(1000)).shared.emf[0]!;
    };
    // An ohm of source is half a hundredth of a volt: E is one normal of both, near enough.
    near(told([20, 21], 0.05), exactly(values), 0.5);
    // 4.84 V are 4.96 V behind 20 ohm and 5.20 V behind 70: whatever it is, either may be.
    const { low, high } = told([20, 70], 0.2);
    expect(low).toBeLessThan(4.96);
    expect(high).toBeGreaterThan(5.2);
  });
});
