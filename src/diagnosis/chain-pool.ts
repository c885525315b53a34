import { limitVoltsOr0 } from "../circuit/limit.ts";
import { type Circuit, type Connector, sourceOr0 } from "../domain/circuit.ts";
import { circuitOf, type Lane } from "../domain/place.ts";
import { filmPart, type LogNormal, type Meter, type Pool } from "../domain/pool.ts";
import { isResting, type Reading } from "../domain/reading.ts";
import type { Ohms, Volts } from "../domain/units.ts";

/**
 * A part of a pool whose circuits all pass the same links, as the exact sum over one chain takes it.
 *
 * A pool whose circuits differ falls into several parts, each diagnosed by itself: what a connector
 * that two parts share says to both is then lost, and their supply is found twice. A pool of lanes
 * times devices on one chain is one part, and nothing is lost.
 */
export interface ChainPool {
  readonly lanes: readonly Lane[];
  readonly devices: readonly string[];
  readonly supply: { readonly emf: Volts; readonly emfSd: Volts; readonly sourceOhms: Ohms };
  readonly meters: readonly Meter[];
  readonly chain: readonly ChainLink[];
  readonly contact: { readonly sound: LogNormal; readonly fouled: LogNormal };
  readonly misread: number;
  readonly limitVolts: Volts;
  /** The circuits that there are, by lane and device; absent: every lane has every device. */
  readonly circuits?: ReadonlyMap<string, Circuit>;
}

/** One link of a part's chain. */
export interface ChainLink {
  readonly point: string;
  readonly connector: string;
  readonly sharedBy: "pool" | "lane" | "device";
  readonly wireOhms: Ohms;
  readonly contaminated: number;
  readonly fouled: number;
  readonly fouledIfContaminated: number;
}

/** Stands for "no lane" and parts a device from its end, in the names that a part uses. */
const MARK = "\u0000";

/** A circuit's lane and device as its part calls them. */
export const nameInPart = ({
  lane,
  device,
  end,
}: Circuit): { readonly lane: Lane; readonly device: string } => ({
  lane: lane ?? MARK,
  device: end === null ? device : `${device}${MARK}${end}`,
});

export const partKey = ({ lane, device }: { lane: Lane; device: string }): string =>
  JSON.stringify([lane, device]);

/** A part's words about a circuit, in the pool's own names. */
export const inPoolsWords = (words: string): string =>
  words.replaceAll(`lane ${MARK} `, "the ").replaceAll(MARK, " ");

function sharedBy(
  { circuits, sharing }: Connector,
  all: readonly Circuit[],
): ChainLink["sharedBy"] {
  if (sharing === "device") return "device";
  const [first, ...others] = circuits.map((index) => all[index]!.lane);
  return sharing !== "lane" && (sharing === "pool" || others.some((lane) => lane !== first))
    ? "pool"
    : "lane";
}

function chainOf({ path }: Circuit, all: readonly Circuit[]): readonly ChainLink[] {
  return path.map(({ point, wireOhms, connector }) => {
    const { contaminated, fouled, fouledIfContaminated } = connector.priors;
    return {
      point,
      connector: connector.name,
      sharedBy: sharedBy(connector, all),
      wireOhms,
      contaminated,
      fouled,
      fouledIfContaminated,
    };
  });
}

/** Circuits with one signature pass the same links, and the same bodies where lanes share them. */
function signature(circuit: Circuit, chain: readonly ChainLink[]): string {
  const bodies = circuit.path.map(({ connector }, i) =>
    chain[i]!.sharedBy === "pool" ? connector.index : -1,
  );
  return JSON.stringify([chain, bodies, circuit.supply]);
}

const parts = new WeakMap<Pool, readonly ChainPool[]>();

/** The parts of a pool; the same objects each time. */
export function chainPools(pool: Pool): readonly ChainPool[] {
  const known = parts.get(pool);
  if (known !== undefined) return known;
  const bySignature = new Map<string, Circuit[]>();
  for (const circuit of pool.circuits) {
    const key = signature(circuit, chainOf(circuit, pool.circuits));
    const own = bySignature.get(key);
    if (own === undefined) bySignature.set(key, [circuit]);
    else own.push(circuit);
  }
  const made = [...bySignature.values()].map((circuits): ChainPool => {
    const { supply } = circuits[0]!;
    const named = circuits.map((circuit) => ({ circuit, ...nameInPart(circuit) }));
    return {
      lanes: [...new Set(named.map(({ lane }) => lane))],
      devices: [...new Set(named.map(({ device }) => device))],
      supply: { emf: supply.emf, emfSd: supply.emfSd, sourceOhms: sourceOr0(supply) },
      meters: pool.meters,
      chain: chainOf(circuits[0]!, pool.circuits),
      contact: { sound: pool.contact.sound, fouled: filmPart(pool.contact) },
      misread: pool.model.misread,
      limitVolts: limitVoltsOr0(pool),
      circuits: new Map(named.map((one) => [partKey(one), one.circuit])),
    };
  });
  parts.set(pool, made);
  return made;
}

/** A reading under its part's names. */
export interface PartReading extends Reading {
  readonly lane: Lane;
}

/** The walk's resting readings that belong to a part, under its names. */
export function readingsOf(
  pool: Pool,
  part: ChainPool,
  readings: readonly Reading[],
): readonly PartReading[] {
  return readings.filter(isResting).flatMap((reading) => {
    const circuit = circuitOf(pool, reading);
    if (circuit === undefined) {
      throw new Error(`reading of line ${reading.line} names no circuit of this pool`);
    }
    const name = nameInPart(circuit);
    return part.circuits?.has(partKey(name)) ? [{ ...reading, ...name }] : [];
  });
}
