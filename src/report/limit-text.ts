import { lastPoints } from "../domain/circuit.ts";
import type { Pool } from "../domain/pool.ts";
import type { FigureWords } from "../words/figure-words.ts";
import type { PlaceWords } from "../words/place-words.ts";

/** The facility's limit: `4.80 V`, or `41 Ω`. */
export const limitText = ({ limit }: Pick<Pool, "limit">, figures: FigureWords): string =>
  "ohms" in limit ? figures.ohms(limit.ohms) : figures.volts(limit.volts);

/** Where a path ends, in words: `pod` where all end there, else `last point`. */
export function lastPointText({ circuits }: Pick<Pool, "circuits">, places: PlaceWords): string {
  const points = lastPoints(circuits);
  return points.length === 1 ? points[0]! : places.lastPoint;
}
