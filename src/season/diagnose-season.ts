import type { Carried } from "../diagnosis/carried.ts";
import { diagnose } from "../diagnosis/diagnose.ts";
import { dayNumber } from "../domain/calendar.ts";
import type { WalkDiagnosis } from "../domain/findings.ts";
import type { Pool } from "../domain/pool.ts";
import {
  isResting,
  type Reading,
  startWith,
  undated,
  type WalkReadings,
} from "../domain/reading.ts";
import { withWalkNames } from "../domain/walk-names.ts";
import type { WorkEntry } from "../domain/work.ts";
import { askOnce, type Keeper, noKeeper, type Question } from "./keeper.ts";

/** One walk's readings and their place in time. */
export interface TimedWalk extends WalkReadings {
  /**
   * Day number (see domain/calendar.ts); null where neither a reading nor its walk has a date
   * [day].
   */
  readonly day: number | null;
  /**
   * Seconds since 1970-01-01T00:00 of its first reading; null where only the day is known [s since
   * 1970].
   */
  readonly seconds: number | null;
}

/** One walk with what its readings say. */
export interface DiagnosedWalk extends Pick<TimedWalk, "day" | "seconds"> {
  readonly diagnosis: WalkDiagnosis;
  /** What the diagnosis was made from. */
  readonly readings: readonly Reading[];
}

/**
 * Sorts walks by time, those without a reading at rest left out: a lone pressed reading makes no
 * walk. By the day of the first dated reading, else by the walk's own name where
 * that is a date; those without a date come last, in the order in which they stand in the files.
 */
export function inOrderOfTime(walks: readonly WalkReadings[]): readonly TimedWalk[] {
  const last = Number.POSITIVE_INFINITY;
  return walks
    .filter(({ rests }) => rests)
    .map((one) => ({
      ...one,
      day: dayNumber(one.start.day ?? one.walk),
      seconds: one.start.seconds,
    }))
    .sort((a, b) => {
      const [one, other] = [a.day ?? last, b.day ?? last];
      return one === other ? (a.seconds ?? 0) - (b.seconds ?? 0) : one - other;
    });
}

/** What one walk's readings say, unless it was asked before; `rivals` and `start` as in `diagnose`. */
export function diagnosed(
  pool: Pool,
  { readings }: Pick<DiagnosedWalk, "readings">,
  rivals: boolean,
  start: Carried | null,
  keeper: Keeper,
): WalkDiagnosis {
  const question = walkQuestion(pool, readings, rivals, start);
  return askOnce(keeper, question, () => diagnose(pool, readings, rivals, start));
}

/** What a walk says, as asked of a keeper. */
export const walkQuestion = (...from: Required<Parameters<typeof diagnose>>): Question => ({
  what: "walk",
  walk: from[1][0]?.walk ?? "",
  from,
});

/** The same with its place in time. */
export function diagnoseTimed(
  pool: Pool,
  walk: TimedWalk,
  rivals = true,
  start: Carried | null = null,
  keeper: Keeper = noKeeper,
): DiagnosedWalk {
  const readings = walk.readings();
  const { day, seconds } = walk;
  return {
    day,
    seconds,
    diagnosis: diagnosed(pool, { readings }, rivals, start, keeper),
    readings,
  };
}

/**
 * Sorts readings into their walks, in the order of time: by the sheet's own id, else by silences and
 * works (domain/walk-names.ts).
 */
export function walksOf(
  pool: Pool,
  readings: readonly Reading[],
  work: readonly WorkEntry[],
): readonly TimedWalk[] {
  const byWalk = new Map<string, Reading[]>();
  for (const one of withWalkNames(readings, pool, work)) {
    const own = byWalk.get(one.walk);
    if (own === undefined) byWalk.set(one.walk, [one]);
    else own.push(one);
  }
  const walks = [...byWalk].map(([walk, own]) => ({
    walk,
    start: own.reduce((start, { takenAt }) => startWith(start, takenAt), undated),
    rests: own.some(isResting),
    readings: () => own,
  }));
  return inOrderOfTime(walks);
}

/**
 * The walks up to a day, and those without a date.
 *
 * @param until Day number (see domain/calendar.ts) [day]
 */
export const walksUntil = (walks: readonly TimedWalk[], until: number): readonly TimedWalk[] =>
  walks.filter(({ day }) => day === null || day <= until);

/** Earlier walks of a season go without the explanations that take inferences of their own. */
export const asksForRivals = (walk: TimedWalk, walks: readonly TimedWalk[]): boolean =>
  walk === walks.at(-1);

/**
 * Diagnoses each of some walks, in the order of time. `progress` is told how many are done. With `rivals`
 * "latest" as a season asks it, by `asksForRivals`.
 */
export const diagnoseWalks = (
  pool: Pool,
  walks: readonly TimedWalk[],
  rivals: "all" | "latest" = "all",
  keeper: Keeper = noKeeper,
  progress: (done: number, of: number) => void = () => {},
): readonly DiagnosedWalk[] =>
  walks.map((walk, index) => {
    progress(index, walks.length);
    return diagnoseTimed(pool, walk, rivals === "all" || asksForRivals(walk, walks), null, keeper);
  });

/**
 * Sorts readings into their walks and diagnoses each, in the order of time; walks without a date
 * come last, in the order in which they stand in the files.
 */
export const diagnoseSeason = (
  pool: Pool,
  readings: readonly Reading[],
  work: readonly WorkEntry[],
  rivals: "all" | "latest" = "all",
): readonly DiagnosedWalk[] => diagnoseWalks(pool, walksOf(pool, readings, work), rivals);
