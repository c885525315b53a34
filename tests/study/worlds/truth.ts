import type { Across, Contact, Crossing, Deck, Path } from "./deck.ts";
import { type Circuit, circuitName } from "./layout.ts";
import { probe, type Taken } from "./readings.ts";

/** A fault takes volts from this on: five times one reading's stated noise [V]. */
export const TELLING_VOLTS = 0.1;

export interface TrueCircuit {
  readonly circuit: Circuit;
  /** Copper and contacts at rest, source left out; infinite where open [ohm]. */
  readonly ohms: number;
  readonly under: boolean;
  readonly across: readonly Across[];
}

/** What is really so, of all that a diagnosis of the walk states. */
export interface Truth {
  /** Connectors with a fouled, open or intermittent contact among the circuits read. */
  readonly atFault: ReadonlySet<string>;
  /** Most volts that each of them took from any reading [V]. */
  readonly lost: ReadonlyMap<string, number>;
  /** Whether any of them took `TELLING_VOLTS`. */
  readonly tells: boolean;
  readonly circuits: readonly TrueCircuit[];
  readonly contacts: readonly Contact[];
  readonly crossing: Crossing | null;
  readonly deck: Pick<Deck, "emf" | "source" | "load">;
  /** Circuits whose rows are not where they belong. */
  readonly mixedUp: readonly Circuit[];
}

/** A break of the cable is no fault of a connector. */
const faulty = ({ state }: Contact): boolean => state !== "sound" && state !== "cable";

const seriesOhms = ({ contacts }: Path): number =>
  contacts.reduce((sum, { link, ohms }) => sum + link.wire + ohms, 0);

/** `limit`: the most ohms a path may have [ohm]. */
export function truthOf(
  deck: Deck,
  taken: readonly Taken[],
  limit: number,
  mixedUp: readonly Circuit[],
): Truth {
  const rows = taken.filter(({ shown }) => shown !== null);
  const read = new Set(rows.map(({ circuit }) => circuitName(circuit)));
  const paths = deck.paths.filter(({ circuit }) => read.has(circuitName(circuit)));
  const contacts = paths.flatMap((path) => path.contacts);
  const lost = new Map<string, number>();
  for (const row of rows) {
    for (const [connector, volts] of row.lost) {
      lost.set(connector, Math.max(volts, lost.get(connector) ?? Number.NEGATIVE_INFINITY));
    }
  }
  return {
    atFault: new Set(contacts.filter(faulty).map(({ connector }) => connector)),
    lost,
    tells: [...lost.values()].some((volts) => volts >= TELLING_VOLTS),
    circuits: paths.map((path): TrueCircuit => {
      const wired = probe(deck, path, path.contacts.length - 1).path;
      const ohms = seriesOhms(wired);
      return { circuit: path.circuit, ohms, under: ohms > limit, across: wired.across };
    }),
    ...{ contacts, crossing: deck.crossing, deck, mixedUp },
  };
}
