import { expect, test } from "vitest";
import { emptyShelf } from "../../src/inference/chain/circuit-model.ts";
import { infer } from "../../src/inference/infer.ts";
import { exactOhms, type WalkProblem } from "../../src/inference/problem.ts";
import type { Fineness } from "./path-leaves.ts";
import { both, chances, circuit, link, reading, walkOf } from "./small-walks.ts";
import { type Gaps, gapsBetween, saidBy, saidOf, walkSums } from "./walk-sums.ts";

/**
 * Posteriors at known shared numbers, against the sum over every state and resistance (`path-leaves.ts`).
 * Source of every number: that sum. How near they come to it stands beside each case; what `src/MODEL.md`
 * says is approximated is not asked.
 */
const placeOf = ({ supplies: [supply] }: WalkProblem) => {
  const source = supply!.sourceOhms.exact[0]!.ohms;
  return { emf: 5, drift: 0, noiseScale: 1, source, loads: [1000] };
};
const every = chances({ fouled: 0.1, open: 0.02, cable: 0.01, intermittent: 0.05 });
const worse = chances({ fouled: 0.6, open: 0.05, cable: 0.01 });
const bad = chances({ fouled: 0.4, open: 0.05, cable: 0.05, intermittent: 0.3 });
const tight = [{ share: 1, medianOhms: 0.2, logSd: 0.8 }];
const quiet = { halfStep: 0.005, noise: 0.02, tails: 0.05 };
const one = [{ share: 1, medianOhms: 80, logSd: 0.5 }];
const simple = { sound: 25, fouled: 41 };
const coarse = { sound: 9, fouled: 25 };
/** How near; what others let expect of a reading lacks paths beyond its circuit's mesh, more where said. */
const near: Gaps = { chance: 5e-4, limit: 0.015, volts: 2e-4, lnOhms: 0.12, readings: 0.005 };

const cases: readonly [string, Fineness, Gaps, WalkProblem][] = [
  [
    "contacts of every state",
    { sound: 11, fouled: 25 },
    { ...near, chance: 2e-4, lnOhms: 0.2 },
    walkOf(
      [
        circuit(
          [
            { ...link(5, every), fouled: one },
            { ...link(9, every), fouled: one },
          ],
          [[reading(0, 4.8)], [reading(1, 4.4), reading(2, 4.5)]],
        ),
      ],
      { badMoments: { fouled: 0.7, law: one } },
    ),
  ],
  [
    "two circuits behind one body",
    simple,
    { ...near, readings: 0.025 },
    walkOf(
      [
        circuit(
          [
            { ...link(5, chances({ fouled: 0.1, cable: 0.02 }), 0, worse), fouled: one },
            { ...link(3, chances({ fouled: 0.2 })), fouled: one },
          ],
          [[reading(0, 4.5)], [reading(1, 4.4)]],
        ),
        circuit(
          [{ ...link(5, chances({ fouled: 0.1 }), 0, worse), fouled: one }],
          [[reading(2, 4.6)]],
          { limitOhms: null },
        ),
      ],
      { bodies: [{ contaminated: 0.15 }] },
    ),
  ],
  [
    "a body behind other contacts, all of which may come and go",
    { sound: 9, fouled: 17 },
    { chance: 0.004, limit: 0.05, volts: 0.002, lnOhms: 0.3, readings: 0.04 },
    walkOf(
      [0, 1].map((c) =>
        circuit(
          [
            { ...link(5, chances({ fouled: 0.1, cable: 0.02, intermittent: 0.1 })), fouled: one },
            { ...link(9, every, 0, bad), fouled: one },
          ],
          [[reading(2 * c, 4.8)], [reading(2 * c + 1, 4.4 + 0.3 * c)]],
        ),
      ),
      { bodies: [{ contaminated: 0.3 }], badMoments: { fouled: 0.7, law: one } },
    ),
  ],
  [
    "zeros behind contacts that may be open or come and go, a body at the end",
    { sound: 9, fouled: 13 },
    { ...near, lnOhms: 0.5 },
    walkOf(
      [
        circuit(
          [
            link(5, chances({ open: 0.1, cable: 0.05, intermittent: 0.3 })),
            {
              ...link(5, chances({ fouled: 0.2, open: 0.2, cable: 0.1, intermittent: 0.2 })),
              fouled: one,
            },
            { ...link(5, every, 0, bad), fouled: one },
          ],
          [[reading(0, 4.7)], [reading(1, 0)], [reading(2, 0)]],
        ),
      ],
      { bodies: [{ contaminated: 0.3 }], badMoments: { fouled: 0.7, law: one } },
    ),
  ],
  [
    "contacts that hang together, a last point that nobody read",
    simple,
    near,
    walkOf([
      circuit(
        [link(5, chances({})), link(9, chances({}))],
        [[reading(0, 4.6), reading(1, 4.7)], []],
        {
          patterns: [
            { chance: 0.3, states: [both({ fouled: 0.5 }), both({ fouled: 0.3 })] },
            { chance: 0.7, states: [both({ open: 0.3, fouled: 0.05 }), both({ cable: 0.2 })] },
          ],
        },
      ),
    ]),
  ],
  [
    "a device that conducts",
    coarse,
    { chance: 0.01, limit: 0.03, volts: 0.005, lnOhms: 0.35, readings: 0.012 },
    walkOf([
      circuit(
        [
          { ...link(5, chances({ fouled: 0.1, open: 0.01 })), fouled: one },
          { ...link(9, chances({ fouled: 0.2 })), fouled: one },
        ],
        [[reading(0, 4.1)], [reading(1, 4)]],
        { conducting: [{ kind: "leaking", link: 1, chance: 0.3, medianOhms: 120, logSd: 0.4 }] },
      ),
    ]),
  ],
  [
    "a device that was pressed",
    simple,
    near,
    walkOf([
      circuit(
        [link(5, chances({ fouled: 0.3 })), link(9, chances({ fouled: 0.2, open: 0.1 }))],
        [[reading(0, 4.7)], []],
        { pressed: [[], [reading(1, 0.3)]] },
      ),
    ]),
  ],
  [
    "a device pressed behind a path of few ohms, which tells its switch to a percent",
    { sound: 61, fouled: 101, closed: 601 },
    { ...near, readings: 0.08 },
    walkOf(
      [
        circuit(
          [{ ...link(3, chances({ fouled: 0.12, open: 0.012 })), sound: tight, fouled: one }],
          [[reading(0, 4.98, quiet)]],
          { pressed: [[reading(1, 1.4, quiet)]] },
        ),
      ],
      { supplies: [{ emf: 5, emfSd: 0, sourceOhms: exactOhms(0) }] },
    ),
  ],
  [
    "pressed at a plug in front of the device",
    simple,
    { ...near, chance: 0.001, volts: 4e-4 },
    walkOf([
      circuit(
        [link(5, chances({ fouled: 0.3 })), link(9, chances({ fouled: 0.2, open: 0.1 }))],
        [[reading(0, 4.7)], []],
        { pressed: [[reading(2, 1.7)], [reading(1, 0.3)]] },
      ),
    ]),
  ],
  [
    "zeros of a display that may have been off",
    simple,
    near,
    walkOf(
      [
        circuit(
          [link(5, chances({ fouled: 0.3 })), link(9, chances({ fouled: 0.2, open: 0.1 }))],
          [
            [reading(0, 4.7), reading(1, 0)],
            [reading(2, 0), reading(3, 4.6)],
          ],
        ),
      ],
      { zeroRuns: [{ readings: [1, 2], off: [0.02, 0.05], stays: 0.4, followed: true }] },
    ),
  ],
];
const all = cases.map(([name, fineness, within, walk]) => ({
  ...{ name, within, walk },
  truth: saidOf(walk, walkSums(walk, placeOf(walk), fineness)),
}));

test.each(all)("$name", ({ walk, within, truth }) => {
  const gaps = gapsBetween(saidBy(infer(walk, emptyShelf(1000))), truth);
  expect(gaps.chance).toBeLessThan(within.chance);
  expect(gaps.limit).toBeLessThan(within.limit);
  expect(gaps.volts).toBeLessThan(within.volts);
  expect(gaps.lnOhms).toBeLessThan(within.lnOhms);
  expect(gaps.readings).toBeLessThan(within.readings);
});

const leaking = walkOf([
  circuit(
    [
      { ...link(5, chances({ fouled: 0.1, open: 0.01 })), fouled: one },
      { ...link(9, chances({ fouled: 0.2 })), fouled: one },
    ],
    [[reading(0, 4.1)], [reading(1, 3.9)]],
    { conducting: [{ kind: "wet", link: 0, chance: 0.3, medianOhms: 120, logSd: 0.4 }] },
  ),
]);
const leak = saidOf(leaking, walkSums(leaking, placeOf(leaking), coarse));

test("water at a plug, read behind it too: the evidence, the leak and what lies in front of it", () => {
  const found = saidBy(infer(leaking, emptyShelf(1000)));
  expect(Math.abs(found.logEvidence - leak.logEvidence)).toBeLessThan(0.006);
  const [[own], [truth]] = [found.circuits, leak.circuits] as const;
  expect(Math.abs(own!.conducting[0]! - truth!.conducting[0]!)).toBeLessThan(0.003);
  for (const [x, p] of truth!.states[0]!.entries()) {
    expect(Math.abs(own!.states[0]![x]! - p)).toBeLessThan(0.003);
  }
});
