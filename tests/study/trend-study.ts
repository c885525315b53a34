import { dayText } from "../../src/domain/calendar.ts";
import type { Reading } from "../../src/domain/reading.ts";
import { volts } from "../../src/domain/units.ts";
import type { WorkEntry } from "../../src/domain/work.ts";
import type { DatedWalk } from "../../src/history/contact-history.ts";
import { HORIZON_WEEKS } from "../../src/history/forecast.ts";
import { trend } from "../../src/history/trend.ts";
import { diagnoseSeason } from "../../src/season/diagnose-season.ts";
import { poolOf, workOf } from "../history/synthetic.ts";
import type { TestPool as Pool } from "../plain-pool.ts";
import { type Random, seededRandom } from "./random.ts";

const WEEKS = 26;
const LANES = 3;

/** One contact of an invented season: its growth, its cleaning, the floor before and after it. */
interface TrueContact {
  readonly growth: number;
  readonly cleaned: number;
  readonly floors: readonly [number, number];
}

const ohmsAt = ({ growth, cleaned, floors }: TrueContact, week: number): number =>
  week < cleaned
    ? Math.exp(floors[0] + growth * week)
    : Math.exp(floors[1] + growth * (week - cleaned));

/** Two contacts a lane, each class's mean growth drawn from what the forecast assumes. */
function inventContacts(pool: Pool, { uniform, normal }: Random) {
  const work: WorkEntry[] = [];
  const means = pool.chain.map(() => 0.11 + 0.1 * normal());
  const floor = (): number => Math.log(0.2) + 0.8 * normal();
  const lanes = pool.lanes.map((lane) =>
    pool.chain.map(({ point }, k): TrueContact => {
      const cleaned = 1 + Math.floor((uniform() * WEEKS) / 2);
      work.push(workOf(7 * cleaned - 1, "cleaned", point, lane));
      const growth = means[k]! + 0.05 * normal();
      return { growth, cleaned: cleaned - 1 / 7, floors: [floor(), floor()] };
    }),
  );
  return { lanes, work };
}

/** What a meter of 10 mV steps and 10 mV noise shows, week after week. */
function readOut(
  pool: Pool,
  lanes: readonly (readonly TrueContact[])[],
  emf: number,
  { normal }: Random,
): readonly Reading[] {
  const readings: Reading[] = [];
  for (let week = 0; week < WEEKS; week++) {
    const supply = emf + 0.01 * normal();
    const day = dayText(7 * week);
    for (const [l, lane] of pool.lanes.entries()) {
      let pathOhms = 0;
      for (const [k, { point, wireOhms }] of pool.chain.entries()) {
        pathOhms += wireOhms + ohmsAt(lanes[l]![k]!, week) * Math.exp(0.15 * normal());
        const shown = (supply * 1000) / (1000 + pathOhms) + 0.01 * normal();
        readings.push({
          ...{
            lane,
            device: "touchpad",
            end: null,
            id: null,
            point,
            walk: day,
            meter: "deck",
            state: "rest",
          },
          ...{ volts: volts(Math.max(0, Math.round(100 * shown) / 100)), step: volts(0.01) },
          ...{ takenAt: { text: day, day, seconds: null }, meterOn: false, by: null, note: null },
          line: readings.length + 2,
        });
      }
    }
  }
  return readings;
}

/** Day on which a lane really crosses, by bisection; infinite beyond the horizon. */
function crossingDay(contacts: readonly TrueContact[], room: number): number {
  const over = (week: number): boolean =>
    contacts.reduce((sum, contact) => sum + ohmsAt(contact, week), 0) >= room;
  let [low, high] = [WEEKS - 1, WEEKS - 1 + HORIZON_WEEKS];
  if (over(low)) return 7 * low;
  if (!over(high)) return Infinity;
  while (high - low > 1e-3) {
    const middle = (low + high) / 2;
    if (over(middle)) high = middle;
    else low = middle;
  }
  return 7 * high;
}

/**
 * Coverage of the 80 % intervals of the crossing date, from readings through the real diagnosis:
 * seasons of 26 weekly walks of three lanes, two contacts each, cleaned once.
 */
export function trendStudy(_: Pool, walks: number): void {
  const base = poolOf(LANES);
  const pool: Pool = { ...base, meters: [{ ...base.meters[0]!, noise: volts(0.01) }] };
  const seasons = Math.ceil(walks / WEEKS);
  const counts = { paths: 0, within: 0, before: 0 };
  for (let seed = 1; seed <= seasons; seed++) {
    const chance = seededRandom(31 * seed);
    const { lanes, work } = inventContacts(pool, chance);
    const emf = 5 + 0.02 * chance.normal();
    const season = diagnoseSeason(pool, readOut(pool, lanes, emf, chance));
    const room = 1000 * (emf / pool.limitVolts - 1) - pool.chain.length;
    for (const { lane, crossing } of trend(pool, season as readonly DatedWalk[], work).circuits) {
      const truth = crossingDay(lanes[pool.lanes.indexOf(lane!)]!, room);
      counts.paths += 1;
      if (crossing.low <= truth && truth <= crossing.high) counts.within += 1;
      if (truth < crossing.median) counts.before += 1;
      if (truth === crossing.median) counts.before += 0.5;
    }
  }
  const share = (count: number): string => `${((100 * count) / counts.paths).toFixed(1)} %`;
  console.log(`${seasons} seasons of ${WEEKS} walks, ${counts.paths} paths`);
  console.log(`crossed within the 80 % interval  ${share(counts.within)}`);
  console.log(`crossed before the median         ${share(counts.before)}`);
}
