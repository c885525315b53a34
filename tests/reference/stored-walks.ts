import { readFileSync } from "node:fs";
import { poolFrom } from "../plain-pool.ts";
import type { ReferenceAnswer } from "./brute-force.ts";
import type { Disagreement } from "./disagreement.ts";
import type { ReferenceWalk } from "./walks.ts";

/** A walk with the answer that make-reference.ts computed, and how well that answer is known. */
export interface StoredWalk extends ReferenceWalk {
  readonly answer: ReferenceAnswer;
  /** How far a second run with other points came out from the stored one. */
  readonly selfCheck: Disagreement;
}

/** The stored pools and readings are in the first model's words. */
export const storedWalks = (): readonly StoredWalk[] => {
  const stored: readonly StoredWalk[] = JSON.parse(
    readFileSync(new URL("walks.json", import.meta.url), "utf8"),
  );
  return stored.map((walk) => ({
    ...walk,
    pool: poolFrom(walk.pool),
    readings: walk.readings.map((one) => ({ ...one, end: null, id: null })),
  }));
};
