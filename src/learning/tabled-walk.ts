import type { Pool } from "../domain/pool.ts";
import type { Reading } from "../domain/reading.ts";
import { movedTo, type StandingWalk, standWalk } from "./standing-walk.ts";
import { type WalkTable, walkTable } from "./walk-table.ts";

/**
 * Lays one walk's tables, by one pool's numbers after another: where the walk stands is looked for once,
 * when first asked, by the pool's own.
 */
export function tabledWalk(pool: Pool, readings: readonly Reading[]): (by: Pool) => WalkTable {
  let standing: StandingWalk | null = null;
  let before: WalkTable | null = null;
  return (by) => {
    standing ??= standWalk(pool, readings);
    before = walkTable(by === pool ? standing : movedTo(standing, by), by, before);
    return before;
  };
}
