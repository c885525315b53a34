import { expect, test } from "vitest";
import { emptyShelf } from "../../../src/inference/chain/circuit-model.ts";
import { infer } from "../../../src/inference/infer.ts";
import type { StateChances } from "../../../src/inference/problem.ts";
import { pathSums } from "../path-sums.ts";
import { chances, circuit, link, reading, walkOf } from "../small-walks.ts";

/**
 * Likelihoods with states pinned, against the sum over every resistance with those states alone in it
 * (`path-leaves.ts`): a pinned contact has its state with chance 1, what lies behind it its prior's.
 */
const one = [{ share: 1, medianOhms: 80, logSd: 0.5 }];
const priors = [
  chances({ fouled: 0.2, open: 0.02, intermittent: 0.1 }),
  chances({ fouled: 0.3, cable: 0.03, intermittent: 0.15 }),
  chances({ fouled: 0.1, open: 0.05, intermittent: 0.2 }),
];
const path = circuit(
  priors.map((prior) => ({ ...link(5, prior), fouled: one })),
  [[reading(0, 4.6, { noise: 0.2 })], [], [reading(1, 4.1, { noise: 0.2 })]],
);
const walk = walkOf([path], { badMoments: { fouled: 0.7, law: one } });
const place = { emf: 5, drift: 0, noiseScale: 1, source: 20, loads: [1000] };

const none = { sound: 0, fouled: 0, open: 0, cable: 0, intermittent: 0 };
type Row = readonly StateChances[];
const sumOf = (...front: Row): number => {
  const of = (k: number): StateChances => front[k] ?? priors[k]!;
  return pathSums(walk, path, place, { chances: of }, { sound: 9, fouled: 17 }).likelihood;
};
const pinned = (["sound", "fouled", "open", "intermittent"] as const).map((state) => ({
  ...none,
  [state]: 1,
}));
const [sound] = pinned as [StateChances];
const fouledBy = (k: number): StateChances => ({ ...none, fouled: priors[k]!.fouled });
const goesOn = (k: number): StateChances => ({ ...fouledBy(k), sound: priors[k]!.sound });
const comes = (k: number): StateChances => ({ ...none, intermittent: priors[k]!.intermittent });
const stays = (k: number): StateChances => ({
  ...goesOn(k),
  intermittent: priors[k]!.intermittent,
});

const whole = sumOf();
const part = (...fronts: readonly Row[]): number =>
  fronts.reduce((sum, front) => sum + sumOf(...front), 0) / whole;
const truth = {
  sound: part([sound, sound, sound]),
  first: [[], [sound], [sound, sound]].map((front) =>
    pinned.slice(1).map((state) => part([...front, state])),
  ),
  /** The first fault in front is a fouled contact, behind which the prior's chances hold. */
  steady: [
    [0, 0, 0, 0],
    pinned.map((state) => part([fouledBy(0), state])),
    pinned.map((state) => part([fouledBy(0), goesOn(1), state], [sound, fouledBy(1), state])),
  ],
  shaky: [
    [0, 0, 0, 0],
    pinned.map((state) => part([comes(0), state])),
    pinned.map((state) =>
      part([comes(0), stays(1), state], [sound, comes(1), state], [fouledBy(0), comes(1), state]),
    ),
  ],
};
/** With the mean by the contact's prior, as the last of a row. */
const withMean = (rows: readonly (readonly number[])[], second: boolean) =>
  rows.map((row, k) => {
    const { sound: s, fouled, open, cable, intermittent } = priors[k]!;
    const [ifSound, ifFouled, ifOpen, ifComes] = row as [number, number, number, number];
    const mean = s * ifSound + fouled * ifFouled + (open + cable) * ifOpen;
    return [...row, mean + intermittent * (second ? ifSound : ifComes)];
  });

test("every state of every contact, whatever was believed of it", () => {
  const { pinned: found } = infer(walk, emptyShelf(1000)).circuits[0]!;
  const near = (a: number, b: number): void => {
    expect(Math.abs(a - b)).toBeLessThan(0.004 * Math.max(0.1, b));
  };
  near(found.sound, truth.sound);
  const rows = [
    [found.first, truth.first],
    [found.steady, withMean(truth.steady, false)],
    [found.shaky, withMean(truth.shaky, true)],
  ] as const;
  for (const [own, expected] of rows) {
    for (const [k, row] of expected.entries()) {
      expect(own[k]).toHaveLength(row.length);
      for (const [x, value] of row.entries()) near(own[k]![x]!, value);
    }
  }
});
