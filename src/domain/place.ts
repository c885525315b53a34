import type { Circuit, Connector, Sharing } from "./circuit.ts";

/**
 * Who is who on a deck, and whom a connector serves. The one file that reads the nulls of a lane,
 * a device or an end: everybody else asks here.
 */

/** A lane's name as the facility writes it: a number for most, a word where it uses words. */
export type Lane = number | string;

/** A circuit as rows of sheets and findings name it. */
export interface CircuitName {
  /** Null for a circuit of the facility, such as the start's line, which belongs to no lane. */
  readonly lane: Lane | null;
  /** The device at its end; of stacked devices the lowest, whose plug the others are plugged into. */
  readonly device: string;
  /** The end of the lane; null where the pool file names no ends, and for a circuit of no lane. */
  readonly end: string | null;
}

/** A connector's place, as findings, the work log and the ranking name it. */
export interface Place {
  /** The point just behind the connector. */
  readonly point: string;
  /** Null where several lanes, or none, pass through it. */
  readonly lane: Lane | null;
  /** Null where more than one circuit may pass through it. */
  readonly device: string | null;
  /** Null where circuits of several ends pass through it, or the pool has no ends. */
  readonly end: string | null;
  /** The lanes that it serves, in the pool's order; empty for one that serves no lane. */
  readonly lanes: readonly Lane[];
  /** By whom it is shared: "lanes" where there is one for each of several groups of lanes. */
  readonly sharing: Sharing;
}

/** One text for one circuit: a key of maps, never shown. */
export const circuitKey = ({ lane, device, end }: CircuitName): string =>
  JSON.stringify([lane, device, end]);

/** One text for one connector: a key of maps, never shown. */
export const placeKey = ({ point, lane, device, end, lanes, sharing }: Place): string =>
  JSON.stringify([point, lane, device, end, sharing === "lanes" ? lanes : null]);

/** The lane, device and end of a longer record. */
export const circuitName = ({ lane, device, end }: CircuitName): CircuitName => ({
  lane,
  device,
  end,
});

export const sameCircuit = (a: CircuitName, b: CircuitName): boolean =>
  a.lane === b.lane && a.device === b.device && a.end === b.end;

export const samePlace = (a: Place, b: Place): boolean => placeKey(a) === placeKey(b);

/** What belongs to a lane, as against the start's line and what several lanes share. */
export const isOfLane = <Where extends { readonly lane: Lane | null }>(
  where: Where,
): where is Where & { readonly lane: Lane } => where.lane !== null;

/** Several lanes, or the whole facility, pass through it: it is looked for at no one lane. */
export const isAboveLanes = ({ sharing }: Pick<Place, "sharing">): boolean =>
  sharing === "pool" || sharing === "lanes";

/** One of several that groups of lanes share: its name alone does not tell which. */
export const isGroup = ({ sharing }: Pick<Place, "sharing">): boolean => sharing === "lanes";

/** What belongs to this lane and to no other. */
export const isAtLane = (place: { readonly lane: Lane | null }, lane: Lane): boolean =>
  place.lane === lane;

/** Whether two things belong to one lane; what belongs to none is alone. */
export const sameLane = (
  a: { readonly lane: Lane | null },
  b: { readonly lane: Lane | null },
): boolean => isOfLane(a) && a.lane === b.lane;

/** How many lanes along the deck something is; what belongs to no lane is where the first is. */
export const lanesAlong = (lanes: readonly Lane[], at: { readonly lane: Lane | null }): number =>
  isOfLane(at) ? Math.max(0, lanes.indexOf(at.lane)) : 0;

/** A circuit as rows of sheets name it: `none` where it belongs to no lane. */
export const circuitCells = ({
  lane,
  device,
  end,
}: CircuitName): { readonly lane: string; readonly device: string; readonly end: string } => ({
  lane: String(lane ?? "none"),
  device,
  end: end ?? "",
});

/** A place as rows of sheets and the work log name it; of a group of lanes, by its first lane. */
export function placeCells({ lane, device, end, lanes, sharing, point }: Place): {
  readonly lane: string;
  readonly device: string;
  readonly end: string;
  readonly point: string;
} {
  if (sharing === "pool") return { lane: "", device: "", end: "", point };
  const where = lane ?? (sharing === "lanes" ? (lanes[0] ?? "none") : "none");
  return { lane: String(where), device: device ?? "", end: end ?? "", point };
}

/** The nouns that a place is looked up in. */
interface Circuits {
  readonly circuits: readonly Circuit[];
  readonly connectors: readonly Connector[];
}

interface PlaceIndex {
  readonly circuits: ReadonlyMap<string, Circuit>;
  readonly connectors: ReadonlyMap<string, Connector>;
}

/** Look-ups by name, made once for each list of circuits. */
const indexes = new WeakMap<readonly Circuit[], PlaceIndex>();

function indexOf({ circuits, connectors }: Circuits): PlaceIndex {
  const known = indexes.get(circuits);
  if (known !== undefined) return known;
  const byName = circuits.flatMap((circuit) =>
    circuit.devices.map(
      (device) => [circuitKey({ ...circuitName(circuit), device }), circuit] as const,
    ),
  );
  const made = {
    circuits: new Map(byName),
    connectors: new Map(connectors.map((one) => [placeKey(one.place), one] as const)),
  };
  indexes.set(circuits, made);
  return made;
}

/** The circuit of this name; a stacked device's is the circuit that it is plugged into. */
export const circuitOf = (pool: Circuits, name: CircuitName): Circuit | undefined =>
  indexOf(pool).circuits.get(circuitKey(name));

/** The connector of this place. */
export const connectorOf = (pool: Circuits, place: Place): Connector | undefined =>
  indexOf(pool).connectors.get(placeKey(place));

/** The circuits that pass through a place: one that is no connector (a pad itself) serves its own. */
export function servedBy(pool: Circuits, place: Place): readonly Circuit[] {
  const connector = connectorOf(pool, place);
  if (connector !== undefined) return connector.circuits.map((index) => pool.circuits[index]!);
  return pool.circuits.filter(
    (circuit) =>
      (place.lane === null ? place.device !== null : true) &&
      circuit.lane === place.lane &&
      (place.device === null || circuit.devices.includes(place.device)) &&
      (place.end === null || circuit.end === place.end),
  );
}

/** Whether this circuit passes through that place. */
export const serves = (pool: Circuits, place: Place, name: CircuitName): boolean =>
  servedBy(pool, place).some((circuit) => sameCircuit(circuit, name));

/**
 * Whether a place that is known to be some connector's is passed by this circuit, by their names
 * alone: for findings that have no pool beside them. What the pool shares is passed by all.
 */
export function isPassedBy(place: Place, circuit: CircuitName): boolean {
  if (place.sharing === "pool") return true;
  const atEnd = place.end === null || place.end === circuit.end;
  if (place.sharing === "device") {
    return place.lane === circuit.lane && place.device === circuit.device && atEnd;
  }
  return circuit.lane !== null && place.lanes.includes(circuit.lane) && atEnd;
}

/** The circuits of a lane, or of none, that device and end fit; what is undefined says nothing. */
export const circuitsAt = (
  { circuits }: Pick<Circuits, "circuits">,
  lane: Lane | null,
  device?: string,
  end?: string,
): readonly Circuit[] =>
  circuits.filter(
    (one) =>
      one.lane === lane &&
      (device === undefined || one.devices.includes(device)) &&
      (end === undefined || one.end === end),
  );

/** Whether a device of this name exists, and on no lane: rows need not say where it is. */
export function isOnNoLane({ circuits }: Pick<Circuits, "circuits">, device: string): boolean {
  const own = circuits.filter(({ devices }) => devices.includes(device));
  return own.length > 0 && !own.some(isOfLane);
}

/** A place of a device that is no connector: the device itself, its plug. */
export const devicePlace = (point: string, { lane, device, end }: CircuitName): Place => ({
  ...{ point, lane, device, end },
  lanes: lane === null ? [] : [lane],
  sharing: "device",
});

/** One circuit alone passes through it: its place names the device. */
export const isOfDevice = <Where extends { readonly device: string | null }>(
  where: Where,
): where is Where & { readonly device: string } => where.device !== null;

/** The connector that a circuit passes at a point. */
export const connectorAt = (circuit: Circuit, point: string): Connector | undefined =>
  circuit.path.find((step) => step.point === point)?.connector;

/**
 * The connectors at a point that a description fits: what is null in it says nothing. One is the
 * answer; none or several, and the description must be mended.
 */
export function connectorsAt(
  pool: Circuits,
  at: {
    readonly point: string;
    readonly lane: Lane | null;
    readonly device: string | null;
    readonly end: string | null;
  },
): readonly Connector[] {
  const found = new Set<Connector>();
  for (const circuit of pool.circuits) {
    if (at.lane !== null && circuit.lane !== at.lane) continue;
    if (at.device !== null && !circuit.devices.includes(at.device)) continue;
    if (at.end !== null && circuit.end !== at.end) continue;
    const connector = connectorAt(circuit, at.point);
    if (connector !== undefined) found.add(connector);
  }
  return [...found];
}
