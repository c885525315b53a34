import type { Circuit, Connector } from "../domain/circuit.ts";
import {
  type CircuitName,
  circuitName,
  circuitsAt,
  connectorAt,
  connectorsAt,
  devicePlace,
  isOfDevice,
  isOfLane,
  isOnNoLane,
  type Lane,
  type Place,
} from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import type { PoolNames } from "./pool-names.ts";

/**
 * Which circuit, and which connector, the cells of a row mean: what is empty is filled in where only
 * one thing fits.
 */

/** What is wrong with cells: a code for the program and a sentence for a person. */
export interface CellFault {
  readonly kind: string;
  readonly words: string;
}

/** The cells of a row that say where; "" where the sheet has no such column. */
export interface WhereCells {
  readonly lane: string;
  readonly device: string;
  readonly end: string;
}

/** A word that says that a circuit belongs to no lane. */
const NO_LANE = /^(none|-|–)$/i;

/** What cells say, each part by itself: undefined where a cell is empty. */
interface Where {
  /** Null: of no lane. */
  readonly lane: Lane | null | undefined;
  readonly device: string | undefined;
  readonly end: string | undefined;
}

/** A circuit with the device that the row named: of stacked ones it need not be the lowest. */
export interface NamedCircuit {
  readonly circuit: Circuit;
  /** Its lane and end, and the device that was meant. */
  readonly name: CircuitName;
}

/** The circuit that cells mean, or what is wrong; an empty device is the lane's first. */
export function circuitOfCells(
  pool: Pool,
  names: PoolNames,
  cells: WhereCells,
): NamedCircuit | readonly CellFault[] {
  const where = whereOf(names, cells);
  if (Array.isArray(where)) return where;
  const { lane, device, end } = where as Where;
  const [circuit] = circuitsAt(pool, lane ?? null, device, end);
  if (circuit !== undefined && (lane !== undefined || device !== undefined)) {
    return { circuit, name: { ...circuitName(circuit), device: device ?? circuit.device } };
  }
  if (lane === undefined) return [{ kind: "lane", words: names.unknown("lane", "") }];
  return [{ kind: "device", words: noSuchCircuit(pool, lane, device, end) }];
}

function whereOf(names: PoolNames, cells: WhereCells): Where | readonly CellFault[] {
  const faults: CellFault[] = [];
  const named = <Name>(kind: "lane" | "device" | "end", text: string): Name | undefined => {
    if (text === "") return undefined;
    const found = names[kind](text);
    if (found === null) faults.push({ kind, words: names.unknown(kind, text) });
    return (found ?? undefined) as Name | undefined;
  };
  const ofNone = NO_LANE.test(cells.lane) && names.lane(cells.lane) === null;
  const lane = ofNone ? null : named<Lane>("lane", cells.lane);
  const device = named<string>("device", cells.device);
  const end = named<string>("end", cells.end);
  return faults.length > 0 ? faults : { lane, device, end };
}

/** `lane 4 has no button-3: it has touchpad, button-1`. */
function noSuchCircuit(
  pool: Pool,
  lane: Lane | null,
  device: string | undefined,
  end: string | undefined,
): string {
  const there = circuitsAt(pool, lane);
  const listed = there.flatMap(({ devices, end: at }) =>
    devices.map((name) => (at === null ? name : `${name} (${at})`)),
  );
  const ofLane = isOfLane({ lane });
  const who = ofLane ? `lane ${lane}` : "the facility";
  const what = `${device ?? "device"}${end === undefined ? "" : ` at the ${end} end`}`;
  const none = ofLane ? "no device" : "no circuit that belongs to no lane";
  return `${who} has no ${what}: it has ${listed.length === 0 ? none : listed.join(", ")}`;
}

/** Why a circuit has no reading at a point; null where it passes it. */
export function pointFault({ circuit, name }: NamedCircuit, point: string): CellFault | null {
  if (connectorAt(circuit, point) !== undefined) return null;
  const who = isOfLane(name) ? `lane ${name.lane} ${name.device}` : `the ${name.device}`;
  const has = circuit.path.map((step) => step.point).join(", ");
  return { kind: "point", words: `${who} does not pass the ${point}: its points are ${has}` };
}

/** Points of the work log that are no connector: a device itself, and its plug. */
export const ownPoints = ["device", "plug"] as const;

/**
 * The connector, device or plug that cells mean. What the cells leave open is filled in where only
 * one connector fits; lane and device are not read where the point's connector is shared above them.
 */
export function placeOfCells(
  pool: Pool,
  names: PoolNames,
  cells: WhereCells & { readonly point: string },
): Place | readonly CellFault[] {
  const typed = names.point(cells.point) ?? ownPoint(cells.point);
  if (typed === null) return [{ kind: "point", words: names.unknown("point", cells.point) }];
  const there = pool.connectors.filter(({ point }) => point === typed);
  if (there.length === 1) return there[0]!.place;
  if (there.length === 0 || (typed === "plug" && cells.device !== "")) {
    const found = circuitOfCells(pool, names, cells);
    if (!("circuit" in found)) return found;
    return connectorAt(found.circuit, typed)?.place ?? devicePlace(typed, found.name);
  }
  const where = whereOf(names, cells);
  if (Array.isArray(where)) return where;
  return amongSeveral(pool, names, cells, where as Where, typed);
}

const ownPoint = (text: string): string | null =>
  ownPoints.find((one) => one === text.trim().toLowerCase()) ?? null;

/** Of several connectors of a point, the one that lane, device and end say. */
function amongSeveral(
  pool: Pool,
  names: PoolNames,
  cells: WhereCells,
  { lane, device, end }: Where,
  point: string,
): Place | readonly CellFault[] {
  const ofNoLane =
    lane === undefined ? device !== undefined && isOnNoLane(pool, device) : !isOfLane({ lane });
  const all = connectorsAt(pool, {
    point,
    lane: lane ?? null,
    device: null,
    end: end ?? null,
  }).filter(({ circuits }) => !ofNoLane || !circuits.every((at) => isOfLane(pool.circuits[at]!)));
  const exact = device === undefined ? all : all.filter((one) => passes(pool, one, lane, device));
  if (exact.length === 1) return exact[0]!.place;
  if (lane === undefined && !ofNoLane) {
    return [{ kind: "lane", words: names.unknown("lane", cells.lane) }];
  }
  if (all.length === 1) return all[0]!.place;
  if (exact.length === 0 && device !== undefined) {
    return [{ kind: "device", words: noSuchCircuit(pool, lane ?? null, device, end) }];
  }
  const which = [...new Set(exact.map(({ place }) => place.device ?? place.end ?? ""))].join(", ");
  const kind = exact.every(({ place }) => isOfDevice(place)) ? "device" : "end";
  const words = `${names.unknown(kind, "")}: ${point} belongs to one ${kind}, so say which: ${which}`;
  return [{ kind, words }];
}

/** Whether a device's circuit passes a connector; an undefined lane says nothing. */
const passes = (
  pool: Pool,
  { circuits }: Connector,
  lane: Lane | null | undefined,
  device: string,
): boolean =>
  circuits.some((at) => {
    const circuit = pool.circuits[at]!;
    return (lane === undefined || circuit.lane === lane) && circuit.devices.includes(device);
  });
