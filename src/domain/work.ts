import type { Lane } from "./pool.ts";
import type { Moment } from "./reading.ts";

/** What was done to a connector. */
export type WorkAction = "cleaned" | "replaced" | "reseated";

/** One line of the work log. */
export interface WorkEntry {
  readonly doneAt: Moment;
  /** Null for a connector that the whole pool shares. */
  readonly lane: Lane | null;
  /** Null for a connector that a lane or the pool shares. */
  readonly device: string | null;
  readonly point: string;
  readonly action: WorkAction;
  readonly minutes: number | null;
  readonly cost: number | null;
  readonly by: string | null;
  readonly note: string | null;
  readonly line: number;
}
