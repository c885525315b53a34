import { isAllSound } from "../report/verdict-lines.ts";
import type { WalkDiagnosis } from "../rooms/domain-room.ts";
import type { PoolTrend } from "../rooms/history-room.ts";
import type { DeviceState, MeetReady, PadsDue } from "../rooms/meet-room.ts";
import type { MeterStudy } from "../rooms/meter-room.ts";
import type { SeasonDecisions } from "../rooms/policy-room.ts";

/**
 * What each command's exit status 0 says, 1 being everything else: input that could not be used is 2
 * (`main.ts`), a fault of the program 70 (`last-resort.ts`).
 */
export type Status = 0 | 1;

const wellIf = (isWell: boolean): Status => (isWell ? 0 : 1);

export const exitStatus = {
  /** `check`, and `next --guide` at the end of a walk: every circuit read is sound. */
  check: (walks: readonly WalkDiagnosis[]): Status => wellIf(walks.every(isAllSound)),
  /** No path is at its limit, or will be before the next look. */
  trend: ({ circuits, rhythm }: PoolTrend): Status =>
    wellIf(
      circuits.every(({ crossing, from }) => crossing === null || crossing.low > from + rhythm),
    ),
  /** Nothing is a suspect, and the walk can be judged. */
  decide: ({ decisions, readAgain }: SeasonDecisions, isJudged: boolean): Status =>
    wellIf(decisions.length + readAgain.length === 0 && isJudged),
  /** Every lane is ready. */
  ready: ({ counts, lanes }: MeetReady): Status => wellIf(counts.ready === lanes.length),
  /** No device is at fault. */
  touches: (devices: readonly DeviceState[]): Status =>
    wellIf(devices.every(({ state }) => state !== "at fault")),
  /** Nobody has to adjust the pads. */
  pads: ({ state }: PadsDue): Status => wellIf(state !== "due" && state !== "never adjusted"),
  /** The meter shows what a sound path must show. */
  meter: ({ sight }: MeterStudy): Status => wellIf(!sight.likely.blind),
  /** `import`, `log import`: every row was used. */
  rows: (rejected: number): Status => wellIf(rejected === 0),
} as const;
