import { dayNumber } from "../domain/calendar.ts";
import type { WalkDiagnosis } from "../domain/findings.ts";
import type { PadNote } from "../domain/pad.ts";
import type { Pool } from "../domain/pool.ts";
import type { Reading } from "../domain/reading.ts";
import type { TouchCheck } from "../domain/touch.ts";
import type { WorkEntry } from "../domain/work.ts";
import { morningOf } from "../report/morning.ts";
import type { CircuitTrend } from "../rooms/history-room.ts";
import { type DeviceState, type MeetReady, pressedDevices } from "../rooms/meet-room.ts";
import type { SeasonDecisions } from "../rooms/policy-room.ts";
import { followSeason, type Keeper, looksOf, noKeeper } from "../rooms/season-room.ts";

/** Everything that the deck day is judged from. */
export interface DayQuestion {
  readonly task: "day";
  readonly pool: Pool;
  readonly readings: readonly Reading[];
  readonly work: readonly WorkEntry[];
  /** Null: this facility keeps none. */
  readonly touches: readonly TouchCheck[] | null;
  readonly pads: readonly PadNote[] | null;
  /** The day of the meet, `YYYY-MM-DD`. */
  readonly date: string;
  /** Minutes left to put things right; null: as many as it takes. */
  readonly minutesLeft: number | null;
}

/** The day, as the commands `ready`, `touches`, `trend` and `decide` answer it for the same files. */
export interface DayAnswer {
  readonly ready: MeetReady;
  readonly pressed: readonly DeviceState[];
  /** Circuits, the first to cross its limit first; empty where no walk has a date. */
  readonly circuits: readonly CircuitTrend[];
  /** Null where nobody walked. */
  readonly decided: SeasonDecisions | null;
  /** The walk that every verdict is about; null where nobody walked. */
  readonly latest: WalkDiagnosis | null;
}

/** The commands' own steps, in their order. */
export function dayOf(
  question: DayQuestion,
  progress: (what: string, done: number, of: number) => void,
  keeper: Keeper = noKeeper,
): DayAnswer {
  const { pool, readings, work, touches, pads, date, minutesLeft } = question;
  const until = dayNumber(date) ?? Number.POSITIVE_INFINITY;
  const season = followSeason(pool, readings, work, progress, { until, keeper });
  const given = { pool, date, work, touches, pads, minutesLeft };
  const { ready, decided } = morningOf(season, given, progress);
  return {
    ready,
    pressed: touches === null ? [] : pressedDevices(pool, touches, looksOf(season)),
    circuits: season?.trend?.circuits ?? [],
    decided,
    latest: season?.latest.diagnosis ?? null,
  };
}
