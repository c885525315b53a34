import type { FixKind } from "../domain/fixes.ts";
import type { CircuitName, Lane } from "../domain/place.ts";
import type { NamedPlace } from "./place-words.ts";

/** What a lane is called on the morning. */
export type ReadyMark = "ready" | "reads-sound" | "watch" | "not-ready";

/** How likely something is. */
interface Likely {
  readonly probability: number;
}

interface AtPoint extends Likely {
  readonly point: string;
}

/** Presses that went wrong, of how many. */
interface Misses extends Likely {
  readonly events: number;
  readonly tried: number;
}

/** Since when a device misses: its day and heat, as far as the sheet tells. */
export interface MissesSince {
  readonly day: string | null;
  readonly heat: string | null;
}

interface PadMisses extends Misses {
  readonly since: MissesSince | null;
  readonly device: string;
  /** Where along the pad, where it is one place. */
  readonly deadPlace: string | null;
}

/** Why a device is not proven. */
export interface ReasonWords {
  readonly "path at fault": (of: AtPoint) => string;
  readonly "path in doubt": (of: AtPoint) => string;
  readonly stuck: (of: Likely) => string;
  readonly leaking: (of: Likely) => string;
  readonly "pad at fault": (of: PadMisses) => string;
  readonly "false touches": (of: Misses) => string;
  readonly "misses too much": (of: Misses) => string;
  readonly "not read": () => string;
  readonly "blind meter": () => string;
  readonly "walk too old": (days: number) => string;
  readonly "worked on since": (point: string, day: string) => string;
  readonly "not pressed": () => string;
  /** So many more presses; null: no number of them is likely to prove it. */
  readonly "press on": (presses: number | null, probability: number) => string;
}

/** What a fix is done to. */
export interface FixTarget {
  readonly circuit: CircuitName;
  readonly place: NamedPlace;
}

/** One step of the plan, with what it makes ready. */
export interface ToldStep {
  readonly fix: string;
  /** [min] */
  readonly minutes: number;
  /** Minutes from the start to its end [min]. */
  readonly done: number;
  readonly chance: number;
  /** Whom it completes; empty: nobody. */
  readonly makes: string;
}

/** One thing to carry. */
export interface ToldItem {
  readonly item: string;
  readonly needed: number;
  /** P(this many are enough); null for a tool. */
  readonly enough: number | null;
  /** How many the parts register has; null where nobody keeps one, or for no spare. */
  readonly inRegister: number | null;
}

/** The morning of a meet. */
export interface ReadyWords {
  readonly head: (pool: string, date: string, counts: string) => string;
  readonly counts: Readonly<Record<ReadyMark, (count: number) => string>>;
  readonly noWalk: string;
  /** The newest walk and how many days before the meet it was; null: its day is not known. */
  readonly newest: (walk: string, days: number | null) => string;
  readonly noTouches: string;
  readonly pads: PadWords;
  readonly padsDue: string;
  readonly marks: Readonly<Record<ReadyMark, string>>;
  readonly fallBack: (words: string) => string;
  /** When it was read; null: nobody knows. */
  readonly read: (day: string | null) => string;
  /** When it was read sound and pressed, and by whom. */
  readonly pressed: (
    readOn: string | null,
    pressedOn: string | null,
    by: readonly string[],
  ) => string;
  readonly noBackup: string;
  readonly noneToRelyOn: string;
  readonly backupsReady: (devices: readonly string[], words: string) => string;
  readonly backupsUnpressed: (devices: readonly string[]) => string;
  readonly inDoubt: string;
  readonly reasons: ReasonWords;
  readonly nothingToDo: string;
  /** What stands over the plan: the minutes left, lanes more expected ready, minutes it takes. */
  readonly toDo: (minutesLeft: number | null, more: number, minutes: number) => string;
  /** Whom no step makes ready, for want of time where there is a limit. */
  readonly waiting: (who: string, isForTime: boolean) => string;
  readonly exact: string;
  readonly roughly: string;
  /** `lane 3, 5`, `lane 3 and start`. */
  readonly lanesAnd: (lanes: readonly Lane[], others: readonly string[]) => string;
  readonly step: (step: ToldStep) => string;
  readonly fixes: Readonly<Record<FixKind, (target: FixTarget) => string>>;
  /** What stands over the bag: the chance that all is enough, what was asked, connectors unread. */
  readonly toCarry: (enough: number, asked: number, unread: number) => string;
  readonly item: (item: ToldItem) => string;
  /** What need not be carried, and how likely each of it is needed at most. */
  readonly leftAtHome: (items: readonly string[], needed: number) => string;
  readonly rules: string;
}

/** Whether the pads are due. Changes are in degrees with their unit, `1.0 °C`. */
export interface PadWords {
  readonly title: (verdict: string) => string;
  readonly noLog: string;
  readonly neverAdjusted: string;
  readonly unknownDegrees: (change: string) => string;
  readonly due: (change: string, at: string) => string;
  readonly fine: (change: string, at: string | null) => string;
}
