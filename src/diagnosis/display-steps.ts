import type { Pool } from "../domain/pool.ts";
import type { Reading } from "../domain/reading.ts";

/** No handheld display is coarser [V]. */
const COARSEST = 0.1;

/** Display step of each meter [V]: the pool file's, else the finest that its readings show. */
export function displaySteps(
  { meters }: Pick<Pool, "meters">,
  readings: readonly Reading[],
): ReadonlyMap<string, number> {
  return new Map(
    meters.map(({ name, resolution }) => {
      const shown = readings.filter((reading) => reading.meter === name);
      const finest = shown.reduce((finer, { step }) => Math.min(finer, step), COARSEST);
      return [name, resolution ?? finest] as const;
    }),
  );
}
