import {
  type CleaningScore,
  type DatedWalk,
  type Decision,
  type DiagnosedWalk,
  decide,
  diagnoseSeason,
  type Pool,
  type PoolTrend,
  soundPath,
  trend,
} from "../analyze.ts";
import type { SoundPoint } from "../report/charts/path-profile.ts";
import type { ReportInput } from "../report/html-report.ts";
import { seasonOf } from "../report/season.ts";
import type { SeasonFiles } from "./season-files.ts";

/** A season computed: what the charts, the report and the memo are written from. */
export interface SeasonAnalysis {
  readonly walks: readonly DiagnosedWalk[];
  /** The walk that the verdict is about. */
  readonly latest: DiagnosedWalk;
  /** Null where fewer than two walks have a date. */
  readonly trend: PoolTrend | null;
  readonly sound: readonly SoundPoint[];
  /** Every cleaning that was scored, the oldest first. */
  readonly cleanings: readonly CleaningScore[];
  readonly decisions: readonly Decision[];
}

const dated = (walk: DiagnosedWalk): walk is DiagnosedWalk & DatedWalk => walk.day !== null;

/** What sound paths would have shown to the meter and on the display of this walk. */
function soundPoints(pool: Pool, walk: DiagnosedWalk): readonly SoundPoint[] {
  const meter = pool.meters.find((one) => one.name === walk.readings[0]?.meter) ?? pool.meters[0];
  if (meter === undefined) return [];
  const step = Math.min(...walk.readings.map((one) => one.step));
  const path = soundPath(pool, meter, walk.diagnosis.emf, step);
  return pool.lanes.flatMap((lane) =>
    pool.devices.flatMap((device) => path.map((one) => ({ lane, device, ...one }))),
  );
}

/** Computes everything that the files can say. `progress` is told what is being done. */
export function analyzeSeason(
  { pool, readings, work }: SeasonFiles,
  progress: (what: string, done: number, of: number) => void = () => {},
): SeasonAnalysis {
  const walks = diagnoseSeason(pool, readings, (done, of) => progress("walks", done, of));
  const onDays = walks.filter(dated);
  const latest = walks.at(-1);
  if (latest === undefined) throw new Error("a season without a reading");
  const found = onDays.length < 2 ? null : trend(pool, onDays, work, progress);
  const cleanings = (found?.cleanings.classes ?? []).flatMap((one) => one.cleanings);
  return {
    walks,
    latest,
    trend: found,
    sound: soundPoints(pool, latest),
    cleanings: cleanings.toSorted((a, b) => a.day - b.day),
    decisions: decide(pool, latest.diagnosis, found, undefined, (done, of) =>
      progress("decisions", done, of),
    ),
  };
}

/** The same as the report takes it. */
export function reportInput(files: SeasonFiles, season: SeasonAnalysis): ReportInput {
  const { diagnosis } = season.latest;
  return {
    pool: files.pool,
    walk: diagnosis,
    readings: files.readings,
    rejects: files.rejects,
    sound: season.sound,
    decisions: season.decisions,
    season: season.trend === null ? null : seasonOf(files.pool, season.trend, diagnosis.emf.median),
  };
}
