import type { Pool } from "../domain/pool.ts";
import { assertEnough, findTop, type PoolProposal, proposalOf } from "./learn-pool.ts";
import { apartOf, poolNumbers, toScale } from "./pool-numbers.ts";
import { tableEvidence } from "./table-evidence.ts";
import type { WalkTable } from "./walk-table.ts";

/** Tables are laid anew where the last ones led, so often at most. */
const MOST_ROUNDS = 4;
/**
 * Numbers that moved less than this on their scales are where tables were laid for: along each of them
 * alone a table is right wherever it goes.
 */
const NEAR = 0.5;

/** How far apart two pools' numbers are at most, of those that a table depends on. */
function distance(a: Pool, b: Pool, tables: readonly WalkTable[]): number {
  const axes = tables.flatMap(({ circuitAxes, walkAxes }) => [...circuitAxes, ...walkAxes]);
  const keys = new Set(axes.map(({ key }) => key));
  const there = new Map(poolNumbers(b).map((number) => [number.key, number]));
  return Math.max(
    0,
    ...poolNumbers(a).map((number) => {
      const other = there.get(number.key);
      if (other === undefined || !keys.has(number.key)) return 0;
      return Math.abs(toScale(number, number.value) - toScale(other, other.value));
    }),
  );
}

/**
 * Learns a pool's numbers by tables of its walks: each round lays them where the one before came to.
 * `walks` [whole] is how many there are; throws under `LEAST_WALKS`.
 *
 * @param tablesBy The walks' tables by a pool's numbers, in any order. The first pool asked about is the
 *   pool itself.
 */
export async function learnRounds(
  pool: Pool,
  walks: number,
  tablesBy: (pool: Pool) => Promise<readonly WalkTable[]>,
  progress: (done: number, of: number) => void = () => {},
): Promise<PoolProposal> {
  assertEnough(walks);
  let from = pool;
  let gain = 0;
  for (let round = 0; ; round++) {
    progress(round, MOST_ROUNDS);
    const tables = await tablesBy(from);
    const evidence = tableEvidence(tables, from);
    const top = findTop(pool, evidence, from, apartOf);
    // Each round's evidence is counted from where its tables were laid.
    gain += evidence(top.pool);
    if (round + 1 === MOST_ROUNDS || distance(from, top.pool, tables) < NEAR) {
      return proposalOf(top, walks, gain);
    }
    from = top.pool;
  }
}
