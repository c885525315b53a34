import { readFileSync } from "node:fs";
import { readPool } from "../src/intake/pool/read-pool.ts";
import { readReadings } from "../src/intake/read-readings.ts";
import { laneMap } from "../src/report/charts/lane-map.ts";
import { renderSvg } from "../src/report/charts/render-svg.ts";
import { diagnose } from "../src/rooms/diagnosis-room.ts";

/** README's picture: the lane map of the demo pool's latest walk, as `charts` draws it. */
export async function demoPicture(): Promise<string> {
  const textOf = (name: string): string =>
    readFileSync(new URL(`kestrel-bay/${name}`, import.meta.url), "utf8");
  const pool = readPool(textOf("pool.yaml"), "pool.yaml");
  if (!pool.ok) throw new Error("the demo's pool file is wrong");
  const { readings } = readReadings(textOf("readings.csv"), pool.value, "readings.csv");
  const last = readings
    .map(({ walk }) => walk)
    .sort()
    .at(-1);
  const latest = readings.filter((one) => one.walk === last && one.state === "rest");
  return renderSvg(laneMap(pool.value, diagnose(pool.value, latest), latest).spec);
}
