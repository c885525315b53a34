import { readFileSync } from "node:fs";
import type { ReferenceAnswer } from "./brute-force.ts";
import type { Disagreement } from "./disagreement.ts";
import type { ReferenceWalk } from "./walks.ts";

/** A walk with the answer that make-reference.ts computed, and how well that answer is known. */
export interface StoredWalk extends ReferenceWalk {
  readonly answer: ReferenceAnswer;
  /** How far a second run with other points came out from the stored one. */
  readonly selfCheck: Disagreement;
}

export const storedWalks = (): readonly StoredWalk[] =>
  JSON.parse(readFileSync(new URL("walks.json", import.meta.url), "utf8"));
