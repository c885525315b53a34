import type { ChainLink, Circuit, Pool } from "../../src/domain/pool.ts";
import type { Reading } from "../../src/domain/reading.ts";
import { connectorName } from "./connector.ts";

/** A connector that a rule points at, and how loudly [V]. */
export interface Suspicion {
  readonly connector: string;
  readonly strength: number;
}

/** What a rule says about one walk. */
export interface Verdict {
  /** The one connector it would open first, whatever the walk looks like. */
  readonly first: string;
  /** The connectors that it calls faulty. */
  readonly accused: ReadonlySet<string>;
}

interface Shown {
  readonly link: ChainLink;
  readonly shown: number;
}

/** Readings of each circuit in the order of the chain; the rules know no repeats. */
const pathsOf = (pool: Pool, readings: readonly Reading[]): (Circuit & { path: Shown[] })[] =>
  pool.lanes
    .flatMap((lane) => pool.devices.map((device) => ({ lane, device })))
    .map((circuit) => ({
      ...circuit,
      path: pool.chain.flatMap((link) =>
        readings
          .filter((r) => r.lane === circuit.lane && r.device === circuit.device)
          .filter((r) => r.point === link.point)
          .map((r) => ({ link, shown: r.volts })),
      ),
    }));

const strongest = (suspicions: readonly Suspicion[]): string =>
  suspicions.reduce((best, next) => (next.strength > best.strength ? next : best)).connector;

/** A drop that the rule takes for a fault [V]: five times one reading's noise. */
export const tellingDrop = 0.1;

/**
 * Largest drop between neighbours. Every reading is compared with the one before it on its circuit
 * (the first with the nominal supply); the largest drop anywhere names the connector just behind
 * it. Accused are the connectors with a drop of at least `tellingDrop`.
 */
export const largestDrop = (pool: Pool, readings: readonly Reading[]): Verdict => {
  const drops = pathsOf(pool, readings).flatMap((circuit) =>
    circuit.path.map(({ link, shown }, i) => ({
      connector: connectorName(link, circuit),
      strength: (circuit.path[i - 1]?.shown ?? pool.supply.emf) - shown,
    })),
  );
  return {
    first: strongest(drops),
    accused: new Set(drops.filter((d) => d.strength > tellingDrop - 1e-9).map((d) => d.connector)),
  };
};

/** Under this a point counts as weak [V]. */
export const weakVolts = 4.9;

/**
 * First point under 4.9 V. Going outwards along each circuit, the first point that reads less names
 * its connector; of several circuits, the one whose first weak point reads lowest. Where no point
 * of the pool is weak, the point that reads lowest is opened first, and nothing is accused.
 */
export const firstWeakPoint = (pool: Pool, readings: readonly Reading[]): Verdict => {
  const paths = pathsOf(pool, readings);
  const suspicion = (circuit: Circuit, { link, shown }: Shown): Suspicion => ({
    connector: connectorName(link, circuit),
    strength: -shown,
  });
  const weak = paths.flatMap((circuit) => {
    const point = circuit.path.find(({ shown }) => shown < weakVolts - 1e-9);
    return point ? [suspicion(circuit, point)] : [];
  });
  const every = paths.flatMap((circuit) => circuit.path.map((point) => suspicion(circuit, point)));
  return {
    first: strongest(weak.length > 0 ? weak : every),
    accused: new Set(weak.map(({ connector }) => connector)),
  };
};
