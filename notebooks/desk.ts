/**
 * What the notebooks' cells call, in one module: the story's verbs, equations, pictures, words, and a
 * part of the demo pool. Type-checked with the rest, so that a notebook that has gone stale is seen.
 */
import { readFileSync } from "node:fs";
import { parse as parseCsv } from "csv-parse/sync";
import { parse } from "yaml";
import { openPool, type weigh } from "../src/analyze.ts";
import { circuitName, circuitOf } from "../src/domain/place.ts";
import { memoDocument } from "../src/report/memo.ts";
import { writeMarkdown } from "../src/report/write-markdown.ts";
import { soundPath } from "../src/rooms/circuit-room.ts";
import type { Costs, Pool, Reading, WalkDiagnosis, WorkEntry } from "../src/rooms/domain-room.ts";
import { readFacility, readReadings, readWorkLog } from "../src/rooms/intake-room.ts";
import { cleaningsOf, decideSeason } from "../src/rooms/policy-room.ts";
import type { Season } from "../src/rooms/season-room.ts";

export * from "../src/analyze.ts";
export { normalCdf } from "../src/numerics/normal.ts";
export { cleaningEffect } from "../src/report/charts/cleaning-effect.ts";
export { contactHistory } from "../src/report/charts/contact-history.ts";
export { laneMap } from "../src/report/charts/lane-map.ts";
export { optionsCost } from "../src/report/charts/options-cost.ts";
export { pathProfile } from "../src/report/charts/path-profile.ts";
export { sensitivity } from "../src/report/charts/sensitivity.ts";
export { suspects } from "../src/report/charts/suspects.ts";
export { decisionWords } from "../src/report/decision-words.ts";
export {
  circuitText,
  connectorName,
  moneyText,
  ohmsText,
  percentText,
  voltsText,
} from "../src/report/names.ts";
export { showChart, showMarkdown } from "../src/report/notebook-display.ts";
export { contactSeries } from "../src/report/season.ts";
export { contactOhmsBetween, seriesOhmsFromReading } from "../src/rooms/circuit-room.ts";
export { dayText, ohms, volts } from "../src/rooms/domain-room.ts";
export { cleaningsOf, costsOf } from "../src/rooms/policy-room.ts";

/** The value of a result; what is wrong with the file, thrown, else. */
export function good<Value>(
  read:
    | { readonly ok: true; readonly value: Value }
    | { readonly ok: false; readonly error: readonly { readonly message: string }[] },
): Value {
  if (!read.ok) throw new Error(read.error.map(({ message }) => message).join("; "));
  return read.value;
}

const demoFile = (name: string): string =>
  readFileSync(new URL(`../datasets/kestrel-bay/${name}`, import.meta.url), "utf8");

interface DemoPool {
  lanes: readonly number[];
  devices: readonly (string | { readonly name: string })[];
  chain: { point: string; shared_by: unknown }[];
  lane_needs: { first: string; fall_back: string[]; at_least: number };
}

/**
 * Some lanes of the demo pool with their touchpads and first buttons, the season's readings of them
 * and the work on them: small enough to be worked out in seconds.
 */
export function partOfKestrelBay(lanes: readonly number[]): {
  readonly pool: Pool;
  readonly readings: readonly Reading[];
  readonly work: readonly WorkEntry[];
} {
  const file: DemoPool = parse(demoFile("pool.yaml"));
  const isStart = (one: DemoPool["devices"][number]) =>
    typeof one === "object" && one.name === "start";
  const trunk = file.chain.find(({ point }) => point === "trunk")!;
  trunk.shared_by = [lanes.filter((lane) => lane <= 4), lanes.filter((lane) => lane > 4)].filter(
    (group) => group.length > 0,
  );
  const part = {
    ...file,
    lanes,
    devices: ["touchpad", "button-1", ...file.devices.filter(isStart)],
    lane_needs: { ...file.lane_needs, fall_back: ["button-1"] },
  };
  const whole = good(openPool(demoFile("pool.yaml")));
  const pool = good(openPool(JSON.stringify(part), "pool.json"));
  // Node's build of csv-parse: the kernel cannot run the browser's, which is the default.
  const { readings } = readReadings(demoFile("readings.csv"), whole, "readings.csv", parseCsv);
  const { entries } = readWorkLog(demoFile("work.csv"), whole, "work.csv", { parse: parseCsv });
  return {
    pool,
    readings: readings.filter((one) => circuitOf(pool, one) !== undefined),
    work: entries.filter(({ lane }) => lanes.includes(Number(lane))),
  };
}

/** What sound paths would show to the first meter with the supply that a walk has found. */
export const soundPoints = (pool: Pool, walk: WalkDiagnosis) =>
  pool.circuits.flatMap((circuit) =>
    soundPath(circuit, pool.contact.sound, pool.meters[0]!, walk.emf, 0.01).map((one) => ({
      ...circuitName(circuit),
      ...one,
    })),
  );

/** A memo's pages in front of the appendix, as Markdown, its pictures left out. */
export function memoText(
  season: Season,
  readings: readonly Reading[],
  options: ReturnType<typeof weigh>,
  costs: Costs,
): string {
  const memo = memoDocument({
    pool: season.pool,
    walk: season.latest.diagnosis,
    readings,
    cleanings: cleaningsOf(season),
    decisions: decideSeason(season).decisions,
    options,
    costs,
    facility: good(readFacility("to: The Board\nfrom: Aquatics maintenance\n", "facility.yaml")),
  });
  const appendix = memo.blocks.findIndex(({ kind }) => kind === "page-break");
  const pages = memo.blocks.slice(0, appendix < 0 ? undefined : appendix);
  return writeMarkdown({ ...memo, blocks: pages.filter(({ kind }) => kind !== "figure") });
}
