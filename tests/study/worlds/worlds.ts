import {
  always,
  between,
  logNormal,
  mixed,
  normal,
  studentT,
  type Uniform,
  weibull,
} from "./laws.ts";
import type { Circuit, Layout, Link } from "./layout.ts";
import { grouped, plain } from "./layout.ts";
import { type Blanks, type Nature, NOISE, type Rates } from "./nature.ts";
import type { Told } from "./sheets.ts";
import type { World } from "./world.ts";

const usual: Told = {
  ...{ load: 1000, source: null, noise: NOISE, offAfter: null },
  ...{ timed: false, marked: false, limitOhms: null },
};

interface Change {
  readonly nature?: Partial<Nature>;
  readonly told?: Partial<Told>;
  readonly layout?: Layout;
}

/** Fault rates of every class times a factor; what a contaminated body does stays. */
const timesRates =
  ({ rates }: Nature, factor: number, where: (link: Link, circuit: Circuit) => boolean) =>
  (link: Link, circuit: Circuit): Rates => {
    const today = rates(link, circuit);
    if (!where(link, circuit)) return today;
    return {
      contaminated: Math.min(0.9, factor * today.contaminated),
      fouled: Math.min(0.6, factor * today.fouled),
      fouledIfContaminated: today.fouledIfContaminated,
      intermittent: Math.min(0.2, factor * today.intermittent),
    };
  };

const anywhere = (): boolean => true;

const timesFaults = (base: Nature, factor: number): Partial<Nature> => ({
  rates: timesRates(base, factor, anywhere),
  conducting: {
    ...base.conducting,
    stuck: factor * base.conducting.stuck,
    leaking: factor * base.conducting.leaking,
    wetLeak: factor * base.conducting.wetLeak,
  },
  cableBreak: factor * base.cableBreak,
});

/** More contacts that come and go, nothing else changed. */
const comesAndGoes = ({ rates }: Nature): Partial<Nature> => ({
  rates: (link, circuit) => ({
    ...rates(link, circuit),
    intermittent: link.kind === "pod" ? 0.08 : 0.02,
  }),
});

/** A stretch of a fifth of the walk in which the supply is 0.15 V lower. */
const sag: Nature["course"] = (uniform: Uniform) => {
  const from = 0.2 + 0.4 * uniform();
  return (share) => (share >= from && share < from + 0.2 ? -0.15 : 0);
};

const drift: Partial<Nature> = { emf: always(5), course: () => (share) => 0.05 - 0.1 * share };

/** The display goes off 90 to 120 s after it was switched on; half of the blanks are written. */
const offByClock: Blanks = {
  ...{ kind: "clock", seconds: between(90, 120), written: 0.5, seen: "read" },
};
const told90: Partial<Told> = { offAfter: [90, 120], timed: true };

const water = (base: Nature): Partial<Nature> => ({
  source: always(220),
  conducting: { ...base.conducting, leaking: 0.04, wetLeak: 0.04, several: true },
});

/** Leaks of 100 to 1,000 ohm on circuits of which every contact is sound. */
const lowLeaks = (base: Nature): Partial<Nature> => ({
  source: always(220),
  conducting: {
    ...base.conducting,
    ...{ leaking: 0.04, wetLeak: 0.04, stuck: 0, several: true, onSoundPaths: true },
    leak: between(100, 1000),
  },
});

const changes: readonly [string, string, (base: Nature) => Change][] = [
  ["as-modelled", "nothing", () => ({})],
  ["supply-drift", "supply from 5.05 to 4.95 V, lane by lane", () => ({ nature: drift })],
  [
    "drift-by-point",
    "the same, point by point",
    () => ({ nature: { ...drift, order: "by point" } }),
  ],
  ["supply-sag", "0.15 V lower for a fifth of the walk", () => ({ nature: { course: sag } })],
  [
    "comes-and-goes",
    "4 times as many contacts that come and go",
    (b) => ({ nature: comesAndGoes(b) }),
  ],
  [
    "moved",
    "the same, last points read again while moved",
    (b) => ({ nature: { ...comesAndGoes(b), movedToo: true } }),
  ],
  [
    "noise-double",
    "noise twice the stated",
    () => ({ nature: { error: () => normal(0, 2 * NOISE) } }),
  ],
  [
    "noise-half",
    "noise half the stated, grouped layout",
    () => ({ nature: { error: () => normal(0, NOISE / 2) }, layout: grouped }),
  ],
  [
    "student-t",
    "errors Student t, 3 df, scale as stated",
    () => ({ nature: { error: () => studentT(NOISE, 3) } }),
  ],
  [
    "blanks-marked",
    "display off after 90 to 120 s, half written, timed, marked",
    () => ({ nature: { blanks: offByClock }, told: { ...told90, marked: true } }),
  ],
  [
    "blanks-unmarked",
    "the same, timed, no marks",
    () => ({ nature: { blanks: offByClock }, told: told90 }),
  ],
  ["blanks-untimed", "the same, no times", () => ({ nature: { blanks: offByClock } })],
  [
    "blanks-unwritten",
    "the same, timed, marked, rows left out",
    () => ({
      nature: { blanks: { ...offByClock, written: 0, seen: "left out" } },
      told: { ...told90, marked: true },
    }),
  ],
  ["faults-treble", "true fault rates 3 times the priors", (b) => ({ nature: timesFaults(b, 3) })],
  [
    "faults-third",
    "true fault rates a third, grouped layout",
    (b) => ({ nature: timesFaults(b, 1 / 3), layout: grouped }),
  ],
  ...([10, -10, 50, -50] as const).map((percent): [string, string, () => Change] => [
    `load${percent > 0 ? "+" : ""}${percent}`,
    `true load ${1000 + 10 * percent} ohm, stated 1,000`,
    () => ({ nature: { load: always(1000 + 10 * percent) } }),
  ]),
  [
    "load-unknown-10M",
    "load unknown, a 10 Mohm multimeter",
    () => ({ nature: { load: always(1e7) }, told: { load: null, limitOhms: 41 } }),
  ],
  [
    "load-unknown-2k",
    "load unknown, 1 to 3 kohm",
    () => ({ nature: { load: between(1000, 3000) }, told: { load: null, limitOhms: 41 } }),
  ],
  ["source-220", "220 ohm inside the timer, unknown", () => ({ nature: { source: always(220) } })],
  [
    "water",
    "leaks of the model's law 4 to 13 times as often, several a circuit, source 220 told",
    (b) => ({ nature: water(b), told: { source: 220 } }),
  ],
  [
    "water-low",
    "leaks of 100 to 1,000 ohm on sound circuits, source 220 told",
    (b) => ({ nature: lowLeaks(b), told: { source: 220 } }),
  ],
  [
    "stuck",
    "a tenth of the switches stuck closed, grouped layout",
    (b) => ({
      nature: { conducting: { ...b.conducting, stuck: 0.1, closed: logNormal(2, 1) } },
      layout: grouped,
    }),
  ],
  ["crossed", "two circuits crossed at plate or pod", () => ({ nature: { mishap: "crossed" } })],
  ["rows-swapped", "two circuits' rows swapped", () => ({ nature: { mishap: "rows-swapped" } })],
  [
    "points-swapped",
    "two points of a circuit swapped",
    () => ({ nature: { mishap: "points-swapped" } }),
  ],
  [
    "shared-return",
    "one harness or plate return fouled",
    () => ({ nature: { mishap: "shared-return" } }),
  ],
  [
    "weibull",
    "fouled ohms Weibull(100, 0.6), grouped layout",
    () => ({ nature: { fouled: weibull(100, 0.6) }, layout: grouped }),
  ],
  [
    "light-film",
    "fouled ohms 3 to 30, half of them 3 to 6",
    () => ({ nature: { fouled: mixed(0.5, between(3, 6), between(15, 30)) } }),
  ],
  [
    "wet-end",
    "lanes 6 to 8: plates and pods 5 times as often at fault",
    (b) => ({
      nature: {
        rates: timesRates(
          b,
          5,
          ({ kind }, { lane }) => (kind === "plate" || kind === "pod") && lane !== null && lane > 5,
        ),
      },
      layout: grouped,
    }),
  ],
  [
    "transposed",
    "one value in a hundred with two digits swapped",
    () => ({ nature: { misread: { rate: 0.01, how: "transposed" } } }),
  ],
  [
    "grouped",
    "nothing: harness groups, a start line, missing devices",
    () => ({ layout: grouped, nature: { missing: 0.05 } }),
  ],
];

/**
 * Every world: `base` with one thing changed. The pool file tells the base's own numbers, but for
 * the source resistance, which is told (`source`) or unknown (null).
 */
export const worldsOf = (base: Nature, source: number | null): readonly World[] =>
  changes.map(([name, differs, change]): World => {
    const { nature = {}, told = {}, layout = plain } = change(base);
    return {
      ...{ name, differs, layout },
      nature: { ...base, ...nature },
      told: { ...usual, source, ...told },
    };
  });
