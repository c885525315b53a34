import type { Pool } from "../domain/pool.ts";
import { type CircuitAxis, circuitAxis, displayCases, endToEnd } from "./circuit-axis.ts";
import { poolNumbers } from "./pool-numbers.ts";
import { nodesOf, type StandingWalk } from "./standing-walk.ts";
import { type WalkAxis, walkAxes } from "./walk-axis.ts";

/**
 * What a walk's readings make of each number of the pool file around its present value, in plain
 * values, so that one thread may lay a table and another read it.
 *
 * The chance of a body that several circuits pass is in none's likelihood: nothing is summed for it.
 * What changes circuits one by one is summed at two or three values (`circuit-axis.ts`), and so is
 * what moves the supply or the displays too (`walk-axis.ts`).
 */
export interface WalkTable {
  /** By circuit, its bodies' places in the walk, in the order of its configuration's bits [whole]. */
  readonly bodiesOf: readonly (readonly number[])[];
  /** By body: its connector's place in the pool's list [whole]. */
  readonly connectors: readonly number[];
  readonly nodes: readonly TableNode[];
  readonly circuitAxes: readonly CircuitAxis[];
  readonly walkAxes: readonly WalkAxis[];
}

/** A node of the shared numbers with its part of the posterior. */
export interface TableNode {
  readonly weight: number;
  readonly cases: readonly TableCase[];
}

/** What displays were off across circuits; circuits' likelihoods by configuration, end to end. */
export interface TableCase {
  readonly logChance: number;
  readonly logScales: readonly number[];
  readonly values: Float64Array;
}

/**
 * @param pool The one that the walk stands by.
 * @param before An earlier table: of what moves the whole walk, a number that has hardly moved is not
 *   asked again.
 */
export function walkTable(
  standing: StandingWalk,
  pool: Pool,
  before: WalkTable | null = null,
): WalkTable {
  const { problem, places } = standing;
  const base = nodesOf(standing, problem);
  const nodes = base.map((node, n): TableNode => {
    const cases = displayCases(node).map(({ logChance, circuits }) => ({
      logChance,
      logScales: circuits.map(({ logScale }) => logScale),
      values: endToEnd(circuits.map(({ values }) => values)),
    }));
    return { weight: places[n]!.weight, cases };
  });
  const numbers = poolNumbers(pool);
  const sum = { standing, pool, base };
  return {
    bodiesOf: problem.circuits.map(({ links }) =>
      links.flatMap(({ body }) => (body === null ? [] : [body])),
    ),
    connectors: standing.connectors,
    nodes,
    circuitAxes: numbers.flatMap((number) => circuitAxis(sum, number)),
    walkAxes: walkAxes(sum, numbers, before?.walkAxes ?? []),
  };
}
