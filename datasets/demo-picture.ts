import { readFileSync } from "node:fs";
import { isResting } from "../src/domain/reading.ts";
import { readPool } from "../src/intake/pool/read-pool.ts";
import { readReadings } from "../src/intake/read-readings.ts";
import { laneMap } from "../src/report/charts/lane-map.ts";
import { renderSvg } from "../src/report/charts/render-svg.ts";
import { diagnose } from "../src/rooms/diagnosis-room.ts";
import { walksOf } from "../src/season/diagnose-season.ts";
import { latestWalk } from "../src/season/latest-walk.ts";

/** README's picture: the lane map of the demo pool's latest walk, as `charts` draws it. */
export async function demoPicture(): Promise<string> {
  const textOf = (name: string): string =>
    readFileSync(new URL(`kestrel-bay/${name}`, import.meta.url), "utf8");
  const pool = readPool(textOf("pool.yaml"), "pool.yaml");
  if (!pool.ok) throw new Error("the demo's pool file is wrong");
  const { readings } = readReadings(textOf("readings.csv"), pool.value, "readings.csv");
  const latest = latestWalk(walksOf(pool.value, readings, []))!
    .readings()
    .filter(isResting);
  return renderSvg(laneMap(pool.value, diagnose(pool.value, latest), latest).spec);
}
