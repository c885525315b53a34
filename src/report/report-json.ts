import type { Reject } from "../domain/reading.ts";
import type { SeasonDecisions } from "../policy/season-decisions.ts";
import type { Season } from "../season/open-season.ts";
import { walkJson } from "./check-json.ts";
import { decideJson } from "./decide-json.ts";
import { trendJson } from "./trend-json.ts";
import { assumedLoadOhms } from "./unknown-load.ts";

/** What `report --json` prints: what check, trend and decide say of the latest walk, under those names. */
export function reportJson(
  { pool, latest, trend, undated }: Season,
  { decisions, readAgain }: SeasonDecisions,
  rejected: readonly Reject[],
): string {
  const { walk, informedBy } = latest.diagnosis;
  const answer = {
    schema: "dropwise-report-2",
    pool: pool.name,
    walk,
    check: walkJson(latest.diagnosis),
    trend: trend === null ? null : trendJson(trend, walk, undated, [], assumedLoadOhms(pool)),
    decide: JSON.parse(decideJson(pool, walk, decisions, [], readAgain, informedBy)) as unknown,
    rejected,
  };
  return `${JSON.stringify(answer, null, 2)}\n`;
}
