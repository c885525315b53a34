import { lastPoints } from "../domain/circuit.ts";
import { type Place, servedBy } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import { ohmsText, voltsText } from "./names.ts";

/** The facility's limit: `4.80 V`, or `41 Ω`. */
export const limitText = ({ limit }: Pick<Pool, "limit">): string =>
  "ohms" in limit ? ohmsText(limit.ohms) : voltsText(limit.volts);

/** Where the paths through a connector end, in words. */
export const lastPointOf = (pool: Pool, place: Place): string =>
  lastPointText({ circuits: servedBy(pool, place) });

/** Where a path ends, in words: `pod` where all end there, else `last point`. */
export function lastPointText({ circuits }: Pick<Pool, "circuits">): string {
  const points = lastPoints(circuits);
  return points.length === 1 ? points[0]! : "last point";
}
