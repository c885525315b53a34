import type { Reading } from "../../src/domain/reading.ts";
import type { PlainCircuit as Circuit, TestPool as Pool } from "../plain-pool.ts";
import { type ContactState, stateChance } from "./body-states.ts";
import { type CircuitTask, integrateCircuit, type NodeVisitor } from "./circuit-integrals.ts";
import { type TabulatedReading, tabulate } from "./reading-likelihood.ts";

/** A circuit with at least one usable reading. */
export interface ReadCircuit extends Circuit {
  /** By point, up to the last one that was read. */
  readonly readings: readonly (readonly TabulatedReading[])[];
  /** Product of the likelihoods of all readings from link k on, were the path open there. */
  readonly zeroFrom: readonly number[];
}

/** Groups a walk's readings at rest by circuit. */
export const readCircuits = (pool: Pool, all: readonly Reading[]): ReadCircuit[] => {
  const readings = all.filter((reading) => reading.state === "rest");
  return pool.lanes
    .flatMap((lane) => pool.devices.map((device) => ({ lane, device })))
    .map(({ lane, device }) => {
      const own = readings.filter((r) => r.lane === lane && r.device === device);
      const byPoint = pool.chain.map(({ point }) =>
        own.filter((r) => r.point === point).map((r) => tabulate(pool, readings, r)),
      );
      const upTo = byPoint.slice(0, byPoint.findLastIndex((list) => list.length > 0) + 1);
      const zeroFrom = upTo.map((_, k) =>
        upTo.slice(k).reduce((p, list) => list.reduce((q, { atZero }) => q * atZero, p), 1),
      );
      return { lane, device, readings: upTo, zeroFrom };
    })
    .filter(({ readings: own }) => own.length > 0);
};

/** The integral of every node of a circuit's tree at one EMF (see circuit-integrals.ts). */
export type NodeIntegrals = Float64Array;

export const nodeIntegrals = (
  pool: Pool,
  circuit: ReadCircuit,
  points: CircuitTask["points"],
  emf: number,
  also?: NodeVisitor,
): NodeIntegrals => {
  const integrals = new Float64Array(2 ** (circuit.readings.length + 1));
  integrateCircuit({ pool, readings: circuit.readings, points }, emf, (node, weights, ohms) => {
    integrals[node] = weights.reduce((sum, w) => sum + w, 0) / weights.length;
    also?.(node, weights, ohms);
  });
  return integrals;
};

/** How many contacts a node has passed. */
export const depthOf = (node: number): number => 31 - Math.clz32(node);

/** State of contact k at a node that has passed it. */
export const stateAt = (node: number, k: number): "sound" | "fouled" =>
  (node >> (depthOf(node) - 1 - k)) & 1 ? "fouled" : "sound";

/** P(the finite states of a node | bodies). */
export const nodeChance = (pool: Pool, node: number, mask: number): number => {
  let chance = 1;
  for (let k = 0; k < depthOf(node); k++) chance *= stateChance(pool, k, mask, stateAt(node, k));
  return chance;
};

/** What remains behind a node: an open contact and zeros, or nothing that was read. */
export const ending = (pool: Pool, circuit: ReadCircuit, node: number, mask: number): number => {
  const depth = depthOf(node);
  if (depth === circuit.readings.length) return 1;
  return stateChance(pool, depth, mask, "open") * circuit.zeroFrom[depth]!;
};

/** One contact and state that a sum is confined to; `unreached`: only where no reading tells. */
export interface Confinement {
  readonly k: number;
  readonly state: ContactState;
  readonly unreached?: boolean;
}

/**
 * P(readings of the circuit [and contact k in that state] | EMF, bodies).
 * Behind an open contact, and behind the last reading, a contact keeps its prior.
 */
export const circuitLikelihood = (
  pool: Pool,
  circuit: ReadCircuit,
  integrals: NodeIntegrals,
  mask: number,
  only?: Confinement,
): number => {
  const share = (node: number): number => {
    if (!only) return 1;
    const depth = depthOf(node);
    if (only.k < depth) return !only.unreached && stateAt(node, only.k) === only.state ? 1 : 0;
    if (only.k === depth && depth < circuit.readings.length) {
      return !only.unreached && only.state === "open" ? 1 : 0;
    }
    return stateChance(pool, only.k, mask, only.state);
  };
  let sum = 0;
  for (let node = 1; node < integrals.length; node++) {
    const part = integrals[node]! * nodeChance(pool, node, mask);
    if (part > 0) sum += part * ending(pool, circuit, node, mask) * share(node);
  }
  return sum;
};
