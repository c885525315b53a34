import type { Estimate } from "../domain/findings.ts";
import type { Lane } from "../domain/pool.ts";

/** One cleaning, scored on one contact from the walks before and after it. */
export interface CleaningScore {
  /** The contact it is scored on: for a connector, the one that was worst before. */
  readonly lane: Lane;
  readonly device: string;
  readonly point: string;
  /** Day number of the cleaning (see domain/calendar.ts). */
  readonly day: number;
  /** The same as text, `YYYY-MM-DD`. */
  readonly date: string;
  /** Minutes that it took, where the log says so [min]. */
  readonly minutes: number | null;
  /** In the last walk before [Ω]; null where there was none since the work before. */
  readonly beforeOhms: Estimate | null;
  /** In the first walk after [Ω]; null where there is none before the next work. */
  readonly afterOhms: Estimate | null;
  /** P(fouled or open before it): how much there was to cure. */
  readonly hadTrouble: number;
  /** P(the trouble was film | there was trouble, and what the walks showed). */
  readonly film: number;
  /** Share of the rise (in log ohms, over the floor) that went: 1 all, 0 none, below 0 worse. */
  readonly recovered: number | null;
  /** Weeks from the cleaning to the first walk that found trouble again, or for as long as known. */
  readonly weeksHeld: number | null;
  /** What ended `weeksHeld`: anything but `trouble` makes it a lower bound. */
  readonly heldUntil: "trouble" | "next work" | "last walk" | null;
}

/**
 * A beta-binomial record of cleanings: P(the trouble is film) ~ Beta(alpha, beta).
 *
 * A cleaning adds `hadTrouble * film` to alpha and `hadTrouble * (1 - film)` to beta, so one that
 * had nothing to cure adds nothing. The prior is included, so both are positive without a record.
 */
export interface FilmRecord {
  readonly alpha: number;
  readonly beta: number;
  /** Oldest first. */
  readonly cleanings: readonly CleaningScore[];
}

/** Record of one circuit's contact; its prior is its connector class's record, watered down. */
export interface ContactRecord extends FilmRecord {
  readonly lane: Lane;
  readonly device: string;
  readonly point: string;
}

/** Record of one connector body; its prior is its class's record, watered down. */
export interface ConnectorRecord extends FilmRecord {
  readonly connector: string;
  readonly point: string;
  /** Null where the whole pool shares it. */
  readonly lane: Lane | null;
  /** Null where a lane or the pool shares it. */
  readonly device: string | null;
}

/** Record of all connectors at one link of the chain. */
export interface ClassRecord extends FilmRecord {
  readonly connector: string;
  readonly point: string;
}

/** What cleaning has done so far, where the next decision starts from. */
export interface CleaningRecord {
  /** Every contact of every circuit that the walks have read. */
  readonly contacts: readonly ContactRecord[];
  /** Every connector that those circuits pass. */
  readonly connectors: readonly ConnectorRecord[];
  /** In the order of the chain. */
  readonly classes: readonly ClassRecord[];
}
