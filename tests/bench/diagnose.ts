/**
 * How long a diagnosis takes: eight lanes, three devices, four points (96 readings, 24 circuits),
 * one thread. Prints; a benchmark passes no judgement.
 *
 *   npm run bench
 */
import { quantile } from "simple-statistics";
import { diagnose } from "../../src/diagnosis/diagnose.ts";
import type { Reading } from "../../src/domain/reading.ts";
import { diagnoseSeason } from "../../src/season/diagnose-season.ts";
import { smallPool } from "../reference/builders.ts";
import { trulyAtFault } from "../study/connector.ts";
import { seededRandom } from "../study/random.ts";
import { type SimulatedWalk, simulateWalk } from "../study/simulate.ts";

const pool = smallPool([1, 2, 3, 4, 5, 6, 7, 8], ["touchpad", "button-1", "button-2"]);
const seeded = seededRandom(11);
const draw = (allSound: boolean): SimulatedWalk =>
  simulateWalk(pool, seeded, { missing: 0, meterOff: 0, allSound });

/** Of a hundred walks, those with the middle and the largest number of faulty connectors. */
const byFaults = Array.from({ length: 100 }, () => draw(false)).sort(
  (a, b) => trulyAtFault(a).size - trulyAtFault(b).size,
);
const [typical, bad] = [byFaults[50]!, byFaults[99]!];

const warmUps = 20;
const runs = 100;

const milliseconds = (work: () => void): number => {
  const began = performance.now();
  work();
  return performance.now() - began;
};

const time = (name: string, readings: readonly Reading[]): void => {
  for (let i = 0; i < warmUps; i++) diagnose(pool, readings);
  const times = Array.from({ length: runs }, () => milliseconds(() => diagnose(pool, readings)));
  const [median, p90] = [quantile(times, 0.5), quantile(times, 0.9)];
  console.log(`${name.padEnd(44)} median ${median.toFixed(1)} ms   p90 ${p90.toFixed(1)} ms`);
};

time("all sound", draw(true).readings);
time(`typical (${trulyAtFault(typical).size} connectors at fault)`, typical.readings);
time(`bad (${trulyAtFault(bad).size} connectors at fault)`, bad.readings);

const season = Array.from({ length: 52 }, (_, week) =>
  draw(false).readings.map((one) => ({ ...one, walk: `week ${week + 1}` })),
).flat();
const seasonTime = milliseconds(() => diagnoseSeason(pool, season, [], "latest"));
console.log(`${"a season of 52 walks".padEnd(44)} ${(seasonTime / 1000).toFixed(2)} s`);
