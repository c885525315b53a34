import { describe, expect, test } from "vitest";
import { emptyShelf } from "../../src/inference/chain/circuit-model.ts";
import { infer, type WalkInference } from "../../src/inference/infer.ts";
import { exactOhms, type WalkProblem } from "../../src/inference/problem.ts";
import { chances, circuit, link, reading, walkOf } from "./small-walks.ts";

/**
 * What a walk says over its shared numbers is the mean of what it says at each of their values, by the
 * prior times the evidence there (the law of total probability): summed here over a grid, value by value,
 * of walks whose numbers are known. All of it is worked out before any test.
 */
const asked = (walk: WalkProblem) => infer(walk, emptyShelf(1000));
const fine = { noise: 0.03, halfStep: 0.005, tails: 0.05, slope: 0.998, floor: 1e-5 };
const film = [{ share: 1, medianOhms: 60, logSd: 0.8 }];
const tight = [{ share: 1, medianOhms: 0.3, logSd: 0.6 }];
const joint = (faults: Parameters<typeof chances>[0], body: number | null = null) => ({
  ...link(2, chances(faults), body, chances({ fouled: 0.6, open: 0.05 })),
  ...{ sound: tight, fouled: film },
});
const orderOf = (index: number, count: number) => (count > 1 ? index / (count - 1) - 0.5 : 0);
/** Circuits of an outlet that all share and a contact of their own, each read at both. */
const walkWith = (shown: readonly (readonly [number, number])[], over: Partial<WalkProblem> = {}) =>
  walkOf(
    shown.map(([a, b], c) => {
      const order = (k: number) => ({ ...fine, order: orderOf(2 * c + k, 2 * shown.length) });
      return circuit(
        [joint({ fouled: 0.02 }, 0), joint({ fouled: 0.15, open: 0.02 })],
        [[reading(2 * c, a, order(0))], [reading(2 * c + 1, b, order(1))]],
      );
    }),
    { bodies: [{ contaminated: 0.1 }], ...over },
  );
const supply = { emf: 5, emfSd: 0.05, sourceOhms: exactOhms(20) };

interface Said {
  readonly logEvidence: number;
  readonly states: readonly (readonly (readonly number[])[])[];
  readonly body: number;
  readonly underLimit: readonly number[];
  readonly misread: readonly number[];
  readonly below: readonly number[];
  readonly voltsLost: readonly (readonly number[])[];
}
const saidBy = (found: WalkInference): Said => ({
  logEvidence: found.logEvidence,
  states: found.circuits.map(({ states }) => states.map((own) => [...own])),
  body: found.bodyAtFault.get(0) ?? 0,
  underLimit: found.circuits.map(({ underLimit }) => underLimit ?? 0),
  misread: [...found.readings.values()].map(({ misread }) => misread),
  below: [...found.readings.values()].map(({ expected }) => expected.below + expected.same / 2),
  voltsLost: found.circuits.map(({ voltsLost }) => voltsLost),
});

/** The mean of all over values of the shared numbers with their prior parts. */
function mixed(values: readonly { readonly part: number; readonly walk: WalkProblem }[]): Said {
  const all = values.map(({ part, walk }) => ({ part, said: saidBy(asked(walk)) }));
  const most = Math.max(...all.map(({ said }) => said.logEvidence));
  const weights = all.map(({ part, said }) => part * Math.exp(said.logEvidence - most));
  const total = weights.reduce((sum, w) => sum + w, 0);
  const mean = (of: (said: Said) => number): number =>
    all.reduce((sum, { said }, i) => sum + (weights[i]! / total) * of(said), 0);
  const first = all[0]!.said;
  return {
    logEvidence: most + Math.log(total),
    states: first.states.map((own, c) =>
      own.map((row, k) => row.map((_, x) => mean(({ states }) => states[c]![k]![x]!))),
    ),
    body: mean(({ body }) => body),
    underLimit: first.underLimit.map((_, c) => mean(({ underLimit }) => underLimit[c]!)),
    misread: first.misread.map((_, j) => mean(({ misread }) => misread[j]!)),
    below: first.below.map((_, j) => mean(({ below }) => below[j]!)),
    voltsLost: first.voltsLost.map((own, c) =>
      own.map((_, k) => mean(({ voltsLost }) => voltsLost[c]![k]!)),
    ),
  };
}
const normalGrid = (sd: number, count: number) =>
  Array.from({ length: count }, (_, i) => {
    const z = -4.5 + (9 * i) / (count - 1);
    return {
      value: sd * z,
      part: ((9 / (count - 1)) * Math.exp(-0.5 * z * z)) / Math.sqrt(2 * Math.PI),
    };
  });
const atEmf = (walk: WalkProblem, emf: number): WalkProblem => ({
  ...walk,
  supplies: [{ ...supply, emf, emfSd: 0 }],
});
/** The supply in the order of the walk: an offset of each reading's own. */
const withDrift = (walk: WalkProblem, drift: number): WalkProblem => ({
  ...walk,
  driftSd: 0,
  circuits: walk.circuits.map((own) => ({
    ...own,
    readings: own.readings.map((row) =>
      row.map((one) => ({ ...one, emfOffset: drift * one.order })),
    ),
  })),
});
const withNoise = (walk: WalkProblem, scale: number): WalkProblem => ({
  ...walk,
  noiseLogSd: 0,
  circuits: walk.circuits.map((own) => ({
    ...own,
    readings: own.readings.map((row) => row.map((one) => ({ ...one, noise: one.noise * scale }))),
  })),
});

const three: readonly (readonly [number, number])[] = [
  [4.88, 4.87],
  [4.9, 4.6],
  [4.89, 4.86],
];
const six = [...three, [4.87, 4.85], [4.88, 4.3], [4.9, 4.88]] as const;
const low: readonly (readonly [number, number])[] = [
  [4.78, 4.77],
  [4.8, 4.75],
  [4.76, 4.76],
];
const known = walkWith(three);
/** Over the supply's own law of E, at so many values of it. */
const overEmf = (walk: WalkProblem, count: number) =>
  mixed(normalGrid(0.05, count).map(({ value, part }) => ({ part, walk: atEmf(walk, 5 + value) })));
const cases = [
  {
    name: "an EMF that three circuits tell",
    walk: { ...known, supplies: [supply] },
    near: 0.004,
    truth: overEmf(known, 61),
  },
  {
    name: "an EMF that six circuits tell, by a star",
    walk: { ...walkWith(six), supplies: [supply] },
    near: 0.01,
    truth: overEmf(walkWith(six), 61),
  },
  {
    name: "a low EMF, or an outlet that takes it",
    walk: { ...walkWith(low), supplies: [supply] },
    near: 0.01,
    truth: overEmf(walkWith(low), 81),
  },
  {
    name: "a drift",
    walk: { ...known, driftSd: 0.06 },
    near: 0.005,
    truth: mixed(
      normalGrid(0.06, 41).map(({ value, part }) => ({ part, walk: withDrift(known, value) })),
    ),
  },
  {
    name: "a noise that nobody stated rightly",
    walk: { ...known, noiseLogSd: 0.4 },
    near: 0.01,
    truth: mixed(
      normalGrid(0.4, 41).map(({ value, part }) => ({
        part,
        walk: withNoise(known, Math.exp(value)),
      })),
    ),
  },
  {
    name: "a source that is one of two",
    walk: {
      ...known,
      supplies: [
        {
          ...supply,
          emfSd: 0,
          sourceOhms: {
            exact: [
              { chance: 0.7, ohms: 20 },
              { chance: 0.3, ohms: 24 },
            ],
            ...{ medianOhms: 1, logSd: 1 },
          },
        },
      ],
    },
    near: 0.001,
    truth: mixed(
      (
        [
          [0.7, 20],
          [0.3, 24],
        ] as const
      ).map(([part, rs]) => ({
        part,
        walk: { ...known, supplies: [{ ...supply, emfSd: 0, sourceOhms: exactOhms(rs) }] },
      })),
    ),
  },
] as const;

describe("what a walk says is the mean over its shared numbers", () => {
  test.each(cases)("$name", ({ walk, near, truth }) => {
    const found = saidBy(asked(walk));
    expect(Math.abs(found.logEvidence - truth.logEvidence)).toBeLessThan(2 * near);
    expect(Math.abs(found.body - truth.body)).toBeLessThan(near);
    for (const [c, own] of truth.states.entries()) {
      for (const [k, row] of own.entries()) {
        for (const [x, p] of row.entries()) {
          expect(Math.abs(found.states[c]![k]![x]! - p)).toBeLessThan(near);
        }
        expect(Math.abs(found.voltsLost[c]![k]! - truth.voltsLost[c]![k]!)).toBeLessThan(near);
      }
      expect(Math.abs(found.underLimit[c]! - truth.underLimit[c]!)).toBeLessThan(2 * near);
    }
    for (const [j, p] of truth.misread.entries()) {
      expect(Math.abs(found.misread[j]! - p)).toBeLessThan(near);
    }
  });
});

describe("what is asked", () => {
  const whole = asked(known);

  test("all but what walks after it need is the same without that", () => {
    const found = infer(known, emptyShelf(1000), "findings");
    expect(saidBy(found)).toEqual(saidBy(whole));
  });

  test("what its readings say by themselves is the same without resistances and bodies", () => {
    const found = infer(known, emptyShelf(1000), "readings");
    expect(found.bodyAtFault.size).toBe(0);
    for (const [c, { pinned }] of whole.circuits.entries()) {
      const own = found.circuits[c]!.pinned;
      expect(own.sound / pinned.sound).toBeCloseTo(1, 9);
      for (const [k, row] of pinned.first.entries()) {
        for (const [x, value] of row.entries()) expect(own.first[k]![x]).toBeCloseTo(value, 9);
      }
    }
    for (const [index, { misread, expected }] of whole.readings) {
      const own = found.readings.get(index)!;
      expect(own.misread).toBeCloseTo(misread, 9);
      expect(own.expected.below).toBeCloseTo(expected.below, 9);
    }
  });
});

describe("circuits that share nothing", () => {
  const alone = (shown: readonly number[], first: number) =>
    circuit(
      [joint({ fouled: 0.1 }), joint({ fouled: 0.2, open: 0.03 })],
      shown.map((v, k) => [reading(first + k, v, fine)]),
    );
  const [a, b] = [alone([4.88, 4.5], 0), alone([4.8, 0], 2)];

  test("say what each says by itself, their evidences multiplied", () => {
    const both = asked(walkOf([a, b]));
    const each = [asked(walkOf([a])), asked(walkOf([b]))];
    expect(both.logEvidence).toBeCloseTo(each[0]!.logEvidence + each[1]!.logEvidence, 9);
    for (const [
      c,
      {
        circuits: [own],
        readings,
      },
    ] of each.entries()) {
      const found = both.circuits[c]!;
      expect(found.underLimit).toBeCloseTo(own!.underLimit!, 9);
      expect(found.ohms).toEqual(own!.ohms);
      for (const [k, states] of own!.states.entries()) {
        for (const [x, p] of states.entries()) expect(found.states[k]![x]).toBeCloseTo(p, 9);
      }
      for (const [index, { expected }] of readings) {
        expect(both.readings.get(index)!.expected.below).toBeCloseTo(expected.below, 9);
      }
    }
  });

  test("but a run of zeros that goes from one to the other", () => {
    // The last value of the first circuit and the first of the second are zeros of one meter.
    const rows = [alone([4.88, 0], 0), alone([0, 4.8], 2)];
    const run = { readings: [1, 2], off: [0.05, 0.08], stays: 0.4, followed: true };
    const walk = { ...walkOf(rows), zeroRuns: [run] };
    // Equation (6): none off, the first alone, both, the second alone.
    const ways = [
      { chance: 0.95 * 0.92, off: [] },
      { chance: 0.05 * 0.6, off: [1] },
      { chance: 0.05 * 0.4 * 0.6, off: [1, 2] },
      { chance: 0.95 * 0.08 * 0.6, off: [2] },
    ] as const;
    const without = (off: readonly number[]) =>
      asked(
        walkOf(
          rows.map((own) => ({
            ...own,
            readings: own.readings.map((row) =>
              row.filter(({ index }) => !(off as readonly number[]).includes(index)),
            ),
          })),
        ),
      );
    const all = ways.map(({ chance, off }) => {
      const own = without(off);
      return { off, own, weight: chance * Math.exp(own.logEvidence) };
    });
    const total = all.reduce((sum, { weight }) => sum + weight, 0);
    const found = asked(walk);
    expect(Math.abs(found.logEvidence - Math.log(total))).toBeLessThan(1e-4);
    const off = (index: number) =>
      all.reduce((sum, one) => sum + (one.off.includes(index as never) ? one.weight : 0), 0) /
      total;
    for (const index of [1, 2]) {
      expect(Math.abs(found.readings.get(index)!.off - off(index))).toBeLessThan(1e-4);
    }
    for (const c of [0, 1]) {
      for (const k of [0, 1]) {
        for (const x of [0, 1, 2]) {
          const exact = all.reduce(
            (sum, { own, weight }) => sum + (weight / total) * own.circuits[c]!.states[k]![x]!,
            0,
          );
          expect(Math.abs(found.circuits[c]!.states[k]![x]! - exact)).toBeLessThan(1e-3);
        }
      }
    }
  });
});

test("a body at fault is that no contact of it is to blame, over its states", () => {
  // Two circuits behind one body, nothing else unknown and nothing read there: the prior alone.
  const unread = [0, 1].map((c) =>
    circuit(
      [joint({ fouled: 0.02 }, 0), joint({})],
      [[], [reading(c, 4.85, { ...fine, noise: 50 })]],
    ),
  );
  const walk = { ...walkOf(unread), bodies: [{ contaminated: 0.1 }] };
  // Sound: 0.98 and 0.35 each, by the body's state. A noise of 50 V tells nothing but that.
  const blameless = 0.9 * 0.98 ** 2 + 0.1 * 0.35 ** 2;
  expect(asked(walk).bodyAtFault.get(0)).toBeCloseTo(1 - blameless, 2);
  expect(asked({ ...walk, bodies: [...walk.bodies, { contaminated: 0.5 }] }).bodyAtFault.size).toBe(
    1,
  );
});
