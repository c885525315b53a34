import { dayText } from "../../src/domain/calendar.ts";
import type { WalkDiagnosis } from "../../src/domain/findings.ts";
import type { Pool } from "../../src/domain/pool.ts";
import type { Reading } from "../../src/domain/reading.ts";
import { volts } from "../../src/domain/units.ts";
import type { DatedWalk } from "../../src/history/contact-history.ts";
import { type CircuitTrend, trend } from "../../src/history/trend.ts";
import { readPool } from "../../src/intake/pool/read-pool.ts";
import { workOf } from "../history/synthetic.ts";
import { emptyWalk, steady } from "../made-findings.ts";
import { inventSeason, LIMIT_VOLTS, type WorldName, type WorldSeason } from "./seasons-world.ts";

/** The pool of the worlds, as its owner describes it: all else is the program's own default. */
function poolOf({ lanes, points }: WorldSeason): Pool {
  const chain = points
    .map(
      ({ point, wireOhms }, k) =>
        `  - { point: ${point}, connector: ${point} connector, wire_ohms: ${wireOhms}, ` +
        `shared_by: ${["pool", "lane", "lane", "device"][k]}, ` +
        `class: ${["outlet", "harness", "plate", "pod"][k]} }`,
    )
    .join("\n");
  const text = `pool: Study
lanes: [${lanes.join(", ")}]
devices: [touchpad]
meters:
  - { name: deck, load_ohms: 1000, resolution: 0.01 }
chain:
${chain}
limit: { volts: ${LIMIT_VOLTS}, meter: deck }
`;
  const read = readPool(text, "pool.yaml");
  if (!read.ok) throw new Error(read.error[0]!.message);
  return read.value;
}

/** A diagnosis that knows which contacts were read, and nothing else: dates rest on readings. */
function unspoken(pool: Pool, walk: string): WalkDiagnosis {
  const ohmsOf = { median: 0.2, low: 0.05, high: 0.8 };
  const states = { sound: 1, fouled: 0, open: 0, ...steady };
  const at = { device: "touchpad", ...states, ohms: ohmsOf, voltsLost: 0 };
  return {
    ...emptyWalk,
    walk,
    emf: { median: 5, low: 4.9, high: 5.1 },
    contacts: pool.circuits.flatMap(({ lane, path }) =>
      path.map(({ point }) => ({ ...at, lane, end: null, point })),
    ),
  };
}

function walksOf(pool: Pool, { values }: WorldSeason): readonly DatedWalk[] {
  const days = [...new Set(values.map(({ day }) => day))];
  return days.map((day): DatedWalk => {
    const walk = dayText(day);
    const readings = values
      .filter((value) => value.day === day)
      .map(
        ({ lane, point, volts: shown }, i): Reading => ({
          ...{ lane, device: "touchpad", end: null, point, walk, meter: pool.meters[0]!.name },
          ...{ volts: volts(shown), step: volts(0.01), state: "rest", meterOn: false },
          ...{ id: null, takenAt: null, by: null, note: null, line: i + 2 },
        }),
      );
    return { day, seconds: null, diagnosis: unspoken(pool, walk), readings };
  });
}

/** What came of the paths of one world. */
interface Tally {
  paths: number;
  dated: number;
  within: number;
  early: number;
  never: number;
  neverDated: number;
  near: number;
  nearUndated: number;
  there: number;
  thereRightly: number;
  bounded: number;
  boundBroken: number;
}

/** Weeks before its crossing by which a path must have a date. */
const NEAR = 8;

function count(tally: Tally, circuit: CircuitTrend, weeksLeft: number, neverFalls: boolean): void {
  const { crossing, from, notBefore } = circuit;
  const truth = from + 7 * weeksLeft;
  tally.paths++;
  if (neverFalls) {
    tally.never++;
    if (crossing !== null) tally.neverDated++;
  }
  if (crossing !== null && crossing.median === from && crossing.high === from) {
    tally.there++;
    if (weeksLeft === 0) tally.thereRightly++;
    return;
  }
  tally.bounded++;
  if (truth < notBefore - 0.5) tally.boundBroken++;
  if (weeksLeft > 0 && weeksLeft <= NEAR) {
    tally.near++;
    if (crossing === null) tally.nearUndated++;
  }
  if (crossing === null) return;
  tally.dated++;
  // Days are whole: a crossing in the course of a day is on that day.
  if (truth >= crossing.low - 0.5 && truth <= crossing.high + 0.5) tally.within++;
  else if (truth < crossing.low) tally.early++;
}

const share = (part: number, of: number): string =>
  of === 0 ? "none" : `${((100 * part) / of).toFixed(1)} % of ${of}`;

/** What the program says of a season's paths. */
export function trendsOf(season: WorldSeason): readonly CircuitTrend[] {
  const pool = poolOf(season);
  const work = season.works.map(({ day, lane, point }) => workOf(day, "cleaned", point, lane));
  return trend(pool, walksOf(pool, season), work).circuits;
}

/** One world: so many seasons of six paths. */
function studyWorld(world: WorldName, seasons: number): Tally {
  const tally: Tally = {
    ...{ paths: 0, dated: 0, within: 0, early: 0, never: 0, neverDated: 0 },
    ...{ near: 0, nearUndated: 0, there: 0, thereRightly: 0, bounded: 0, boundBroken: 0 },
  };
  for (let seed = 1; seed <= seasons; seed++) {
    const season = inventSeason(world, seed);
    for (const circuit of trendsOf(season)) {
      const lane = season.lanes.indexOf(circuit.lane as number);
      count(tally, circuit, season.weeksLeft[lane]!, season.neverFalls[lane]!);
    }
  }
  return tally;
}

const WORLDS: readonly WorldName[] = ["fresh", "unknown", "linear", "steps", "idle", "nothing"];

/** Dates of crossing in six worlds: how often the truth lies within, and who gets a date at all. */
export function seasonsStudy(seasons: number, only: string | undefined): void {
  const worlds = WORLDS.filter((world) => only === undefined || only === world);
  if (worlds.length === 0) throw new Error(`no world ${only}; there are ${WORLDS.join(", ")}`);
  console.log(`${seasons} seasons of six paths in each world, walks every week or two\n`);
  for (const world of worlds) {
    const found = studyWorld(world, seasons);
    console.log(`${world}`);
    console.log(`  80 % interval covers the crossing      ${share(found.within, found.dated)}`);
    console.log(`  crossed before the interval            ${share(found.early, found.dated)}`);
    console.log(`  never falls, and has a date            ${share(found.neverDated, found.never)}`);
    console.log(
      `  crosses within ${NEAR} weeks, has no date     ${share(found.nearUndated, found.near)}`,
    );
    console.log(
      `  said to be there, and is               ${share(found.thereRightly, found.there)}`,
    );
    console.log(
      `  crossed before "not before" (10 %)     ${share(found.boundBroken, found.bounded)}`,
    );
  }
}
