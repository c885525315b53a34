import {
  always,
  type Law,
  logNormal,
  mixed,
  normal,
  standardNormal,
  type Uniform,
} from "./laws.ts";
import type { Circuit, Link, LinkClass } from "./layout.ts";

/** How often the contacts of one class of connector fail. */
export interface Rates {
  readonly contaminated: number;
  readonly fouled: number;
  readonly fouledIfContaminated: number;
  readonly intermittent: number;
}

/** Chances of a resistance across the pair, each per circuit. */
export interface Conducting {
  readonly stuck: number;
  readonly leaking: number;
  readonly wetLeak: number;
  /** False: at most one a circuit, and never beside a contact that comes and goes. */
  readonly several: boolean;
  /** True: every contact of a circuit that conducts is sound. */
  readonly onSoundPaths: boolean;
  /** Ohms of a leak. */
  readonly leak: Law;
  /** Ohms of a switch stuck closed. */
  readonly closed: Law;
}

/** How a display that has gone off gets into the sheet. */
export type Blanks =
  /** With chance `off` at each reading it is off and written as 0; it stays so with chance `stays`. */
  | { readonly kind: "chance"; readonly off: number; readonly stays: number }
  /**
   * Off so many seconds after it was switched on. Then, with chance `written`, a 0 is written and
   * the next readings go on so with chance 1/2 each; else it is seen, and `seen` says what follows.
   */
  | {
      readonly kind: "clock";
      readonly seconds: Law;
      readonly written: number;
      readonly seen: "read" | "left out";
    };

/** What somebody did to the sheet or to the circuits, of which nobody knows. */
export type Mishap =
  | "points-swapped"
  | "rows-swapped"
  | "crossed"
  | "shared-return"
  | "stuck"
  | "leaking";

/** How a deck really is: everything that a walk is drawn from. */
export interface Nature {
  readonly rates: (link: Link, circuit: Circuit) => Rates;
  /** P(open) over P(fouled). */
  readonly openPerFouled: number;
  readonly cableBreak: number;
  /** Ohms of a sound contact, of a fouled one. */
  readonly sound: Law;
  readonly fouled: Law;
  /** P(a bad moment) of an intermittent contact, at a reading at rest and while it is moved. */
  readonly badShare: { readonly rest: number; readonly moved: number };
  readonly conducting: Conducting;
  readonly emf: Law;
  /** Volts that the supply gains over the walk, at a share of it between 0 and 1. */
  readonly course: (uniform: Uniform) => (share: number) => number;
  readonly source: Law;
  readonly load: Law;
  /** One walk's law of a reading's error [V]. */
  readonly error: (uniform: Uniform) => Law;
  readonly misread: { readonly rate: number; readonly how: "anywhere" | "transposed" };
  readonly blanks: Blanks;
  readonly missing: number;
  /** Every last point is read once more while its plug is moved. */
  readonly movedToo: boolean;
  readonly order: "by lane" | "by point";
  readonly mishap: Mishap | null;
}

/** Stated noise of one reading [V]. */
export const NOISE = 0.02;

type ClassRates = Readonly<Record<LinkClass, Rates>>;

const rates = (c: number, f: number, given: number, intermittent: number): Rates => ({
  ...{ contaminated: c, fouled: f, fouledIfContaminated: given, intermittent },
});

const today: ClassRates = {
  outlet: rates(0.02, 0.01, 0.7, 0.005),
  harness: rates(0.04, 0.01, 0.7, 0.005),
  plate: rates(0.08, 0.02, 0.7, 0.005),
  pod: rates(0, 0.12, 0, 0.02),
};

const nothingConducts: Conducting = {
  ...{ stuck: 0, leaking: 0, wetLeak: 0, several: false, onSoundPaths: false },
  ...{ leak: logNormal(2000, 1.5), closed: logNormal(2, 1) },
};

/** The model with every term on, its defaults written out from the published description. */
export const asModelled: Nature = {
  rates: ({ kind }) => today[kind],
  openPerFouled: 0.1,
  cableBreak: 0.002,
  sound: logNormal(0.2, 0.8),
  fouled: mixed(0.6, logNormal(60, 1.2), logNormal(10_000, 3)),
  badShare: { rest: 0.3, moved: 0.7 },
  conducting: { ...nothingConducts, stuck: 0.005, leaking: 0.01, wetLeak: 0.003 },
  emf: normal(5, 0.05),
  course: (uniform) => {
    const gained = 0.02 * standardNormal(uniform);
    return (share) => gained * (share - 0.5);
  },
  source: mixed(0.5, always(0), logNormal(220, 1)),
  load: always(1000),
  error: (uniform) => {
    const sd = NOISE * Math.exp(0.3 * standardNormal(uniform));
    return mixed(0.05, normal(0, 3 * sd), normal(0, sd));
  },
  misread: { rate: 0.003, how: "anywhere" },
  blanks: { kind: "chance", off: 0.0025, stays: 0.5 },
  missing: 0,
  movedToo: false,
  order: "by lane",
  mishap: null,
};

const steady = (): number => 0;

/** The first version's picture of a deck: none of the terms that the second one added. */
export const firstModel: Nature = {
  ...asModelled,
  rates: ({ kind }) => ({ ...today[kind], intermittent: 0 }),
  cableBreak: 0,
  fouled: logNormal(60, 1.2),
  conducting: nothingConducts,
  course: () => steady,
  source: always(0),
  error: () => normal(0, NOISE),
  misread: { rate: 0.01, how: "anywhere" },
  blanks: { kind: "chance", off: 0.02, stays: 0 },
};
