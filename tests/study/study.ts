/**
 * Simulation studies, seeded: the same command prints the same figures on every machine.
 *
 *   npm run study                          the diagnosis beside two rules of thumb, 2,000 walks
 *   npm run study -- --walks 100           the same, quickly
 *   npm run study -- trend --walks 1560    coverage of the dates that a trend names, 60 seasons
 *   npm run study -- next --pools 500      guided walks beside reading every point
 */
import { parseArgs } from "node:util";
import type { Pool } from "../../src/domain/pool.ts";
import { smallPool } from "../reference/builders.ts";
import { diagnosisStudy } from "./diagnosis-study.ts";
import { nextStudy } from "./next-study.ts";
import { trendStudy } from "./trend-study.ts";

/** A study prints its figures for so many walks of a pool. */
type Study = (pool: Pool, walks: number) => void;

const studies: Readonly<Record<string, Study>> = {
  diagnosis: diagnosisStudy,
  trend: trendStudy,
  next: nextStudy,
};

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    walks: { type: "string", default: "2000" },
    pools: { type: "string", default: "500" },
  },
});
const name = positionals[0] ?? "diagnosis";
const walks = Number(name === "next" ? values.pools : values.walks);
const study = studies[name];

if (!study || !Number.isInteger(walks) || walks < 1) {
  console.error(`usage: study [${Object.keys(studies).join(" | ")}] [--walks N | --pools N]`);
  process.exitCode = 2;
} else {
  study(smallPool([1, 2, 3, 4, 5, 6, 7, 8], ["touchpad", "button-1", "button-2"]), walks);
}
