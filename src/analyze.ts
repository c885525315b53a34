import { walkStanding } from "./circuit/walk-standing.ts";
import { diagnose as diagnoseWalk } from "./diagnosis/diagnose.ts";
import { type NextAdvice, nextReadings } from "./diagnosis/next-reading.ts";
import type { Costs } from "./domain/costs.ts";
import type { WalkDiagnosis } from "./domain/findings.ts";
import { assertWalk, type Walk } from "./domain/made-walk.ts";
import { Misuse } from "./domain/misuse.ts";
import type { Pool } from "./domain/pool.ts";
import type { Reading } from "./domain/reading.ts";
import type { InputFault, Result } from "./domain/result.ts";
import type { WorkEntry } from "./domain/work.ts";
import type { MemoOptions } from "./economics/memo-options.ts";
import { weighSeason } from "./economics/weigh-options.ts";
import { readPool } from "./intake/pool/read-pool.ts";
import { type ReadingsSheet, readReadings } from "./intake/read-readings.ts";
import { readWorkLog, type WorkLog } from "./intake/read-work-log.ts";
import { type MeetInput, type MeetReady, meetReady } from "./meet/ready.ts";
import { planRound, type Round } from "./meet/round.ts";
import { decideSeason, type SeasonDecisions } from "./policy/season-decisions.ts";
import { checkText } from "./report/check-text.ts";
import { followSeason } from "./season/follow-season.ts";
import type { Season } from "./season/open-season.ts";
import type { Language } from "./words/language.ts";

export { poolOf, reading, walkOf, walksOf } from "./builders.ts";

/**
 * The package's entry: the whole story in eleven verbs, in the order in which they are used, and
 * `builders.ts`, which makes what they work on from what a person knows. All else stands under sub-paths
 * of the same names as the rooms: `dropwise/circuit`, `dropwise/economics`, ...
 *
 *     pool.yaml ──openPool──┐
 *     readings.csv ─────────┴─readSheet─> Reading[] ─┬─walksOf──> Walk ──diagnose, next, tell──> answers
 *     work.csv ─────────────readWork──> WorkEntry[] ─┴─follow───> Season ──decide──> courses
 *                                                                   │ └────weigh───> memo's options
 *     the deck day:  round (before anybody walks)   prepare (who is ready, what to put right)
 *
 * Source: each verb runs the room of its name, which names its own; the model is src/MODEL.md.
 */

/**
 * Opens a pool file, YAML or JSON, every default filled in; all that is wrong with it, else.
 *
 * @example
 * const pool = openPool("pool: Kestrel Bay\nlanes: 8\ndevices: [touchpad, button-1]\n");
 * console.log(pool.ok && pool.value.circuits.length); // 16
 * const wrong = openPool("pool: Kestrel Bay\nlanes: many\ndevices: [touchpad]\n");
 * console.log(wrong.ok || wrong.error[0].place); // lanes
 */
export const openPool = (text: string, file = "pool.yaml"): Result<Pool, readonly InputFault[]> =>
  readPool(text, file);

/**
 * Reads a sheet of readings: every row becomes a reading, a reject with its reason, or a repeat.
 *
 * @example
 * const pool = openPool("pool: Kestrel Bay\nlanes: 2\ndevices: [touchpad]\n").value;
 * const sheet = readSheet("lane;point;volts\n1;pod;4,97\n2;pod;n/a\n", pool);
 * console.log(sheet.readings[0].volts, sheet.rejected[0].kind); // 4.97 not-a-number
 */
export const readSheet = (text: string, pool: Pool, file = "readings.csv"): ReadingsSheet =>
  readReadings(text, pool, file);

/**
 * Reads the log of what was cleaned, replaced and reseated.
 *
 * @example
 * const pool = openPool("pool: Kestrel Bay\nlanes: 2\ndevices: [touchpad]\n").value;
 * const log = readWork("done_at,lane,point,action\n2026-05-01,2,plate,cleaned\n", pool);
 * console.log(log.entries[0].action, log.entries[0].lane); // cleaned 2
 */
export const readWork = (text: string, pool: Pool, file = "work.csv"): WorkLog =>
  readWorkLog(text, pool, file);

/**
 * What one walk's readings say: suspects in the order in which to go to them, a verdict on every
 * circuit read, what else may explain the readings. Throws `Misuse` where there are none; `follow` takes
 * many walks.
 *
 * @example
 * const pool = openPool("pool: Kestrel Bay\nmodel: plain\nlanes: 2\ndevices: [touchpad]\n").value;
 * const rows = "1,harness,4.98\n1,plate,4.61\n1,pod,4.61\n2,plate,4.97\n2,pod,4.97\n";
 * const [walk] = walksOf(pool, readSheet(`lane,point,volts\n${rows}`, pool).readings);
 * const { connectors, circuits } = diagnose(walk);
 * console.log(connectors[0].connector, connectors[0].lane); // plate connector 1
 * console.log(circuits.map(({ verdict }) => verdict).join(", ")); // weak, sound
 */
export const diagnose = (walk: Walk): WalkDiagnosis => {
  assertWalk(walk);
  if (walk.readings.length === 0)
    throw new Misuse("no-readings", "no reading to diagnose: were the sheet's rows all rejected?");
  return diagnoseWalk(walk.pool, walk.readings);
};

/**
 * The readings to take next, most bits for a second first; of a walk without readings, where to begin.
 * Throws `Misuse` where it is no walk (`walkOf`).
 *
 * @example
 * const pool = openPool("pool: Kestrel Bay\nmodel: plain\nlanes: 2\ndevices: [touchpad]\n").value;
 * const [first] = next(walkOf(pool, [{ lane: 1, point: "pod", volts: 4.97 }])).readings;
 * console.log(first.lane, first.point); // 2 pod
 */
export const next = (walk: Walk): NextAdvice => {
  assertWalk(walk);
  return nextReadings(walk.pool, walk.readings);
};

/**
 * A walk's diagnosis in words, as `dropwise check --details` prints it, in English (`en`) or German (`de`).
 * Throws `Misuse` as `diagnose` does.
 *
 * @example
 * const pool = openPool("pool: Kestrel Bay\nmodel: plain\nlanes: 1\ndevices: [touchpad]\n").value;
 * const { readings } = readSheet("lane,point,volts\n1,plate,4.97\n1,pod,4.97\n", pool);
 * const [head] = tell(walkOf(pool, readings)).split("\n");
 * console.log(head); // Kestrel Bay, walk readings: 2 readings of 1 circuit
 * console.log(tell(walkOf(pool, readings), "de").split("\n")[0]); // Kestrel Bay, Rundgang readings: 2 Messwerte, 1 Stromkreis
 */
export function tell(walk: Walk, language: Language = "en"): string {
  const diagnosis = diagnose(walk);
  const { pool, readings } = walk;
  const standing = walkStanding(pool, diagnosis, readings);
  return checkText(pool, { diagnosis, standing, readings }, false, language);
}

/**
 * Many walks and the work between them, opened once: which walk is the latest, what grows, how often
 * cleaning has cured it. Null where no walk has a reading at rest.
 *
 * @example
 * const pool = openPool("pool: Kestrel Bay\nmodel: plain\nlanes: 1\ndevices: [touchpad]\n").value;
 * const rows = "1,pod,4.97,2026-05-02\n1,pod,4.96,2026-05-09\n";
 * const { readings } = readSheet(`lane,point,volts,taken_at\n${rows}`, pool);
 * const season = follow(pool, readings, []);
 * console.log(season.walks.length, season.latest.diagnosis.walk); // 2 2026-05-09
 */
export const follow = (
  pool: Pool,
  readings: readonly Reading[],
  work: readonly WorkEntry[],
): Season | null => followSeason(pool, readings, work);

/**
 * What to do about the latest walk's suspects: wait, read again, clean or replace, with what each
 * course costs.
 *
 * @example
 * const pool = openPool("pool: Kestrel Bay\nmodel: plain\nlanes: 1\ndevices: [touchpad]\n").value;
 * const rows = "1,harness,4.98,2026-05-02\n1,plate,4.21,2026-05-02\n1,pod,4.21,2026-05-02\n";
 * const { readings } = readSheet(`lane,point,volts,taken_at\n${rows}`, pool);
 * const [first] = decide(follow(pool, readings, [])).decisions;
 * console.log(first.place.point, first.action); // plate clean
 */
export const decide = (season: Season): SeasonDecisions => decideSeason(season);

/**
 * What the memo compares: the plan that `decide` recommends, walk after walk, and what else may be done,
 * each against it; and what money is asked for, where anything beats the plan.
 *
 * @example
 * const pool = openPool("pool: Kestrel Bay\nmodel: plain\nlanes: 1\ndevices: [touchpad]\n").value;
 * const rows = "1,harness,4.98,2026-05-02\n1,plate,4.21,2026-05-02\n1,pod,4.21,2026-05-02\n";
 * const { readings } = readSheet(`lane,point,volts,taken_at\n${rows}`, pool);
 * const options = weigh(follow(pool, readings, []));
 * console.log(options.options[0].request, options.horizonYears); // 0 10
 */
export const weigh = (season: Season, costs?: Costs): MemoOptions => weighSeason(season, costs);

/**
 * A round of readings with the pool's first meter: least walking, in the meter's time, values to
 * expect.
 *
 * @example
 * const pool = openPool("pool: Kestrel Bay\nmodel: plain\nlanes: 2\ndevices: [touchpad]\n").value;
 * const plan = round(pool);
 * console.log(plan.readings, plan.lanesWalked); // 8 1
 */
export const round = (pool: Pool): Round => planRound(pool, pool.meters[0]!);

/**
 * The morning of a meet: which lanes are ready, what to put right in the time left, what to carry.
 *
 * @example
 * const pool = openPool("pool: Kestrel Bay\nmodel: plain\nlanes: 2\ndevices: [touchpad]\n").value;
 * const given = { pool, date: "2026-05-02", looks: [], work: [] };
 * const nobody = { touches: null, pads: null, record: null, minutesLeft: null };
 * console.log(prepare({ ...given, ...nobody }).counts.ready); // 0
 */
export const prepare = (input: MeetInput): MeetReady => meetReady(input);
