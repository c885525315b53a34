import type { Part } from "../domain/part.ts";
import type { DeviceState, Reason } from "../meet/device-state.ts";
import type { NamedFix } from "../meet/lane-fixes.ts";
import type { LaneReady } from "../meet/lane-ready.ts";
import type { MeetReady } from "../meet/ready.ts";
import { english } from "../words/english.ts";
import { countsTold, fallBackTold, fixTold, inRegister, reasonTold } from "./ready-text.ts";

/** The morning's words in English, for the page; `ready-text.ts` speaks every language. */

/** `3 ready, 2 read sound, not pressed, 1 to watch, 2 not ready`. */
export const countsText = (ready: MeetReady): string => countsTold(ready, english);

/** Which backups of the lane can stand in, and why the others can't. */
export const fallBackWords = (lane: LaneReady): string => fallBackTold(lane, english);

/** One reason in words. */
export const reasonWords = (reason: Reason, state: DeviceState): string =>
  reasonTold(reason, state, english);

/** What a fix is called. */
export const fixName = (fix: NamedFix | undefined): string => fixTold(fix, english);

/** `, 2 in the register` behind a spare, where there is a register. */
export function stockWords(item: string, parts: readonly Part[]): string {
  const count = inRegister(item, parts);
  return count === null ? "" : `, ${count} in the register`;
}
