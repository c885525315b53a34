import { type Deck, drawDeck, type Path } from "./deck.ts";
import { always, between, pick, type Uniform } from "./laws.ts";
import { type Circuit, circuitName, plain } from "./layout.ts";
import { asModelled, type Nature, NOISE } from "./nature.ts";
import { probe, type Taken, takeReadings, voltsAt } from "./readings.ts";
import { slip } from "./sheet-mishaps.ts";
import { poolText, readingsText, type Told } from "./sheets.ts";

export type RivalName =
  | "stuck"
  | "leaking"
  | "points-swapped"
  | "rows-swapped"
  | "supply-low"
  | "meter-off"
  | "load-off-by-2"
  | "crossed";

/** A walk of which one known thing beside the contacts is true. */
export interface RivalWalk {
  readonly pool: string;
  readonly readings: string;
  /** Circuits that a right explanation may name; empty: it names none. */
  readonly circuits: readonly Circuit[];
  /** The most that it moved any value that was read [V]. */
  readonly moved: number;
  /** Where it conducts: least squared distance from any one contact in series, in noises. */
  readonly fromSeries: number | null;
  /** The same walk with the slip undone or the load told; null where no file can say it. */
  readonly mended: { readonly pool: string; readonly readings: string } | null;
}

const told: Told = {
  ...{ load: 1000, source: 0, noise: NOISE, offAfter: null },
  ...{ timed: false, marked: false, limitOhms: null },
};

/** Contacts as modelled; nothing else conducts, the supply stands still, its source is told. */
const base: Nature = {
  ...asModelled,
  source: always(0),
  conducting: { ...asModelled.conducting, stuck: 0, leaking: 0, wetLeak: 0 },
  blanks: { kind: "chance", off: 0, stays: 0 },
};

interface Rival {
  readonly nature: Partial<Nature>;
  readonly told?: Partial<Told>;
}

const halfOrTwice = (uniform: Uniform): number => pick(uniform, [500, 2000]);

export const rivals: Readonly<Record<RivalName, Rival>> = {
  stuck: { nature: { mishap: "stuck" } },
  leaking: { nature: { mishap: "leaking", source: always(220) }, told: { source: 220 } },
  "points-swapped": { nature: { mishap: "points-swapped" } },
  "rows-swapped": { nature: { mishap: "rows-swapped" } },
  "supply-low": { nature: { emf: between(4.6, 4.8) } },
  "meter-off": {
    nature: { blanks: { kind: "clock", seconds: between(90, 120), written: 1, seen: "read" } },
    told: { offAfter: [90, 120], timed: true },
  },
  "load-off-by-2": { nature: { load: halfOrTwice } },
  crossed: { nature: { mishap: "crossed" } },
};

/** The deck without its rival. */
const without = (deck: Deck): Deck => ({
  ...deck,
  crossing: null,
  paths: deck.paths.map((path) => ({ ...path, across: [] })),
  emf: Math.max(deck.emf, 4.9),
  load: 1000,
});

/** The most that the rival moved a value: the wires without it, or the slip of the pen. */
function movedBy(deck: Deck, taken: readonly Taken[], sheet: readonly Taken[]): number {
  const other = without(deck);
  const physical = deck.paths.flatMap((path, p) =>
    path.contacts.map((_, at) => {
      const before = voltsAt(other, probe(other, other.paths[p]!, at), other.emf);
      return Math.abs(voltsAt(deck, probe(deck, path, at), deck.emf) - before);
    }),
  );
  const written = taken.map(({ shown, true: volts }, i) =>
    shown === 0 && volts > 1 ? volts : Math.abs((shown ?? 0) - (sheet[i]!.shown ?? 0)),
  );
  return Math.max(...physical, ...written);
}

export function drawRival(name: RivalName, uniform: Uniform): RivalWalk {
  const rival = rivals[name];
  const nature: Nature = { ...base, ...rival.nature };
  const says: Told = { ...told, ...rival.told };
  const deck = drawDeck(plain, nature, uniform);
  const taken = takeReadings(deck, nature, uniform);
  const { taken: sheet, mixedUp } = slip(deck, nature, taken, uniform);
  const conducting = deck.paths.filter(({ across }) => across.length > 0);
  const pool = poolText(plain, says);
  const mended = {
    pool: poolText(plain, { ...says, load: deck.load }),
    readings: readingsText(taken, says),
  };
  const canMend = mixedUp.length > 0 || name === "load-off-by-2";
  return {
    pool,
    readings: readingsText(sheet, says),
    circuits: [
      ...mixedUp,
      ...conducting.map(({ circuit }) => circuit),
      ...(deck.crossing?.circuits ?? []),
    ],
    moved: movedBy(deck, taken, sheet),
    fromSeries: conducting[0] === undefined ? null : fromSeries(deck, conducting[0]),
    mended: canMend ? mended : null,
  };
}

/** Every rise of the resistance that a path may show, from a hundredth of an ohm to an open [ohm]. */
const ANY_OHMS = [
  ...Array.from({ length: 81 }, (_, i) => 10 ** (-2 + i / 10)),
  Number.POSITIVE_INFINITY,
];

/**
 * How far the readings of a circuit that conducts are from what one contact in series would show:
 * the least sum of squares over any contact and any resistance, in stated noise squared.
 */
function fromSeries(deck: Deck, path: Path): number {
  const alone = { ...path, across: [] };
  const rest = path.contacts.map(({ ohms }) => ohms);
  const points = path.contacts.map((_, at) => at);
  const shown = points.map((at) => voltsAt(deck, { path, at }, deck.emf));
  const distances = points.flatMap((faulty) =>
    ANY_OHMS.map((ohms) => {
      const series = rest.map((own, k) => (k === faulty ? ohms : own));
      return points.reduce((sum, at) => {
        const other = voltsAt(deck, { path: alone, at }, deck.emf, series);
        return sum + ((shown[at]! - other) / NOISE) ** 2;
      }, 0);
    }),
  );
  return Math.min(...distances);
}

/** Whether an explanation names one of the circuits that it should. */
export const namesOneOf = (
  circuits: readonly Circuit[],
  lane: number | string | null,
  device: string | null,
): boolean =>
  circuits.length === 0 ||
  circuits.some((circuit) => circuitName(circuit) === `${lane ?? "none"} ${device}`);
