import type { Action, Step } from "./courses.ts";
import type { Place } from "./place.ts";
import type { WorkAction } from "./work.ts";

/** One connector by where it sits. */
export interface ConnectorPlace extends Place {
  readonly connector: string;
}

/** A place alone, of whatever has more to it. */
export const connectorPlace = (of: ConnectorPlace): ConnectorPlace => {
  const { connector, point, lane, device, end, lanes, sharing } = of;
  return { connector, point, lane, device, end, lanes, sharing };
};

/** One action, and the best that can follow it. */
export interface Course {
  readonly kind: Action;
  /**
   * Expected present cost of it and of all that follows under the policy, over the horizon and five
   * years on, so that nothing turns on where it ends [currency].
   */
  readonly presentCost: number;
  /** P(it is the cheapest, were the contact's state known); reading again and looking never are. */
  readonly chanceBest: number;
}

/** A rule that a person can pin to the wall, in volts of the path's last point. */
export interface Thresholds {
  /** What is done first under `cleanUnder`. */
  readonly first: "clean" | "replace";
  /** Null: nothing is worth doing, whatever it reads [V]. */
  readonly cleanUnder: number | null;
  /** Replace where it still reads under this after a cleaning; null: not after one failure [V]. */
  readonly replaceUnder: number | null;
  /**
   * Replace after so many failed cleanings in a row; null: not within three [cleanings; whole, 1 or
   * more].
   */
  readonly replaceAfter: number | null;
}

/** What is best for one suspect at this walk, and how sure that is. */
export interface Decision {
  readonly place: ConnectorPlace;
  /** P(at fault) as the diagnosis has it. */
  readonly atFault: number;
  /** P(its worst contact passes nothing), as the diagnosis has it. */
  readonly open: number;
  /** P(the trouble is film, which cleaning cures), from the record of cleanings. */
  readonly film: number;
  /** Weeks that its past cleanings held, those that had something to cure, oldest first. */
  readonly weeksHeld: readonly { readonly weeks: number; readonly atLeast: boolean }[];
  /** `look` wherever its worst contact is likelier open than anything else: a rule, not a price. */
  readonly action: Action;
  /** What is best where the look has mended nothing; null where nothing is looked for. */
  readonly ifNoBreak: Step | null;
  /**
   * P(the action is the cheapest); of reading again, that what it most likely leads to is, of a look,
   * that what follows one in vain is.
   */
  readonly sure: number;
  /** Of the action [currency]. */
  readonly presentCost: number;
  /** All that there are, in the order of `courses`; a look only where it is the action. */
  readonly courses: readonly Course[];
  readonly thresholds: Thresholds;
  /** The last point that the thresholds are about. */
  readonly lastPoint: string;
  readonly lookMinutes: number;
  readonly cleanMinutes: number;
  readonly replaceMinutes: number;
  /** Price of a look for a break [currency]. */
  readonly lookCost: number;
  /** Price of cleaning once and of replacing once, labour and part [currency]. */
  readonly cleanCost: number;
  /** Part and labour [currency]. */
  readonly replaceCost: number;
  /** Price of the part at which cleaning and replacing cost the same; null: at no price [currency]. */
  readonly breakEvenPart: number | null;
  /** It was cleaned and its path still reads low: common practice takes that for oxidised metal. */
  readonly stillLowAfterCleaning: boolean;
}

/** A suspect that was worked on after its walk: nothing is weighed on the old reading. */
export interface ReadAgain {
  readonly place: ConnectorPlace;
  /** P(at fault) as the diagnosis has it, before the work. */
  readonly atFault: number;
  /** The last work on it. */
  readonly action: WorkAction;
  /** Its day, as `2026-03-08`. */
  readonly date: string;
}
