import type { Reading } from "../../src/domain/reading.ts";
import type { TestPool as Pool } from "../plain-pool.ts";
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

/** What one circuit's points showed, from the timer out, and the connector in front of each. */
export type ShownPath = readonly {
  readonly connector: string;
  /** [V] */
  readonly shown: number;
}[];

/** Readings of each circuit in the order of the chain; the rules know no repeats. */
export const shownPaths = (pool: Pool, readings: readonly Reading[]): ShownPath[] =>
  pool.lanes
    .flatMap((lane) => pool.devices.map((device) => ({ lane, device })))
    .map((circuit) =>
      pool.chain.flatMap((link) =>
        readings
          .filter((r) => r.lane === circuit.lane && r.device === circuit.device)
          .filter((r) => r.point === link.point)
          .map((r) => ({ connector: connectorName(link, circuit), shown: r.volts })),
      ),
    );

const strongest = (suspicions: readonly Suspicion[]): string =>
  suspicions.reduce((best, next) => (next.strength > best.strength ? next : best)).connector;

/** A drop that the rule takes for a fault [V]: five times one reading's noise. */
export const tellingDrop = 0.1;

/**
 * Largest drop between neighbours. Every reading is compared with the one before it on its circuit
 * (the first with the nominal supply); the largest drop anywhere names the connector just behind
 * it. Accused are the connectors with a drop of at least `tellingDrop`.
 */
export const largestDrop = (paths: readonly ShownPath[], nominalVolts: number): Verdict => {
  const drops = paths.flatMap((path) =>
    path.map(({ connector, shown }, i) => ({
      connector,
      strength: (path[i - 1]?.shown ?? nominalVolts) - shown,
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
export const firstWeakPoint = (paths: readonly ShownPath[]): Verdict => {
  const suspicion = ({ connector, shown }: ShownPath[number]): Suspicion => ({
    connector,
    strength: -shown,
  });
  const weak = paths.flatMap((path) => {
    const point = path.find(({ shown }) => shown < weakVolts - 1e-9);
    return point ? [suspicion(point)] : [];
  });
  const every = paths.flat().map(suspicion);
  return {
    first: strongest(weak.length > 0 ? weak : every),
    accused: new Set(weak.map(({ connector }) => connector)),
  };
};
