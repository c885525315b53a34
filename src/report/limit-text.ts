import { lastPoints } from "../domain/circuit.ts";
import type { Pool } from "../domain/pool.ts";
import { ohmsText, voltsText } from "./names.ts";

/** The facility's limit: `4.80 V`, or `41 Ω`. */
export const limitText = ({ limit }: Pick<Pool, "limit">): string =>
  "ohms" in limit ? ohmsText(limit.ohms) : voltsText(limit.volts);

/** Where a path ends, in words: `pod` where all end there, else `last point`. */
export function lastPointText({ circuits }: Pick<Pool, "circuits">): string {
  const points = lastPoints(circuits);
  return points.length === 1 ? points[0]! : "last point";
}
