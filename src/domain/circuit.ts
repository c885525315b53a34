import type { CircuitName, Place } from "./place.ts";
import { type Ohms, ohms, type Volts } from "./units.ts";

/**
 * The circuits of a facility, as the analysis walks over them. A circuit is one conductor pair from
 * a timer to a switch; its path is what it really passes, which may differ from its neighbour's.
 */

/** What kind of connector it is: each kind has defaults of its own (`assumed.ts`). */
export type ConnectorClass = "outlet" | "harness" | "plate" | "pod" | "stacked plug";

/** By whom the pool file says that a link is shared: "lanes" is a list of groups of lanes. */
export type Sharing = "pool" | "lanes" | "lane" | "device";

/** What is believed of a connector and its contacts before any reading. Probabilities. */
export interface ContactPriors {
  /** P(its body is contaminated); 0 where one circuit alone passes: there is no body then. */
  readonly contaminated: number;
  /** P(a contact is fouled | clean body). */
  readonly fouled: number;
  /** P(a contact is fouled | contaminated body). */
  readonly fouledIfContaminated: number;
  /** P(a contact comes and goes). */
  readonly intermittent: number;
  /** P(the cable up to it is broken), added to P(open). */
  readonly cableBreak: number;
}

/** P(a contact is fouled) before any reading, its body being clean or not. */
export const priorFouled = ({
  contaminated,
  fouled,
  fouledIfContaminated,
}: ContactPriors): number => contaminated * fouledIfContaminated + (1 - contaminated) * fouled;

/** P(a contact is sound) before any reading, where it is fouled with this chance. */
export const priorSound = (
  { cableBreak, intermittent }: ContactPriors,
  openPerFouled: number,
  fouled: number,
): number => 1 - (1 + openPerFouled) * fouled - (cableBreak + intermittent);

/** A connector: the body that holds contacts; people clean and replace connectors. */
export interface Connector {
  /** Its place in the pool's list of connectors. */
  readonly index: number;
  /** What people call it. */
  readonly name: string;
  readonly point: string;
  readonly class: ConnectorClass;
  readonly sharing: Sharing;
  readonly priors: ContactPriors;
  /** Water may lie across the pair here. */
  readonly wet: boolean;
  /** Indices of the circuits that pass through it, ascending. */
  readonly circuits: readonly number[];
  /** How findings and the work log name it. */
  readonly place: Place;
}

/** One step of a path: a stretch of wire, then a mated connector. */
export interface Step {
  /** Where the meter is put on, just behind the connector. Occurs once in a path. */
  readonly point: string;
  /** Copper of the stretch before the connector, out and back [Ω]. */
  readonly wireOhms: Ohms;
  readonly connector: Connector;
}

/** A timer's supply. */
export interface Supply {
  readonly name: string;
  /** Nominal EMF, the mean of its prior [V]. */
  readonly emf: Volts;
  /** Standard deviation of the EMF's prior, one value a walk [V]. */
  readonly emfSd: Volts;
  /** Source resistance inside the timer [Ω]; null: unknown. */
  readonly sourceOhms: Ohms | null;
}

/** One conductor pair from a timer to a switch. */
export interface Circuit extends CircuitName {
  /** Its place in the pool's list of circuits. */
  readonly index: number;
  /** Every device on it, the lowest first: those behind it are stacked, their switches parallel. */
  readonly devices: readonly string[];
  readonly supply: Supply;
  /** From the timer out; at least one step. */
  readonly path: readonly Step[];
}

/** What is reckoned with where nobody knows the source resistance: none [Ω]. */
export const sourceOr0 = ({ sourceOhms }: Pick<Supply, "sourceOhms">): Ohms =>
  sourceOhms ?? ohms(0);

/** The circuit that passes most connectors, of those the one with most copper: where a meter sees least. */
export function longestCircuit(circuits: readonly Circuit[]): Circuit {
  return circuits.reduce((a, b) => {
    const more = b.path.length - a.path.length;
    return more > 0 || (more === 0 && pathWire(b.path) > pathWire(a.path)) ? b : a;
  });
}

/** Where a circuit's path ends. */
export const lastPoint = ({ path }: Pick<Circuit, "path">): string => path.at(-1)!.point;

/** Where the circuits' paths end, each point once. */
export const lastPoints = (circuits: readonly Circuit[]): readonly string[] => [
  ...new Set(circuits.map(lastPoint)),
];

/** Copper of the whole path, out and back [Ω]. */
export const pathWire = (path: readonly Pick<Step, "wireOhms">[]): number =>
  path.reduce((sum, { wireOhms }) => sum + wireOhms, 0);
