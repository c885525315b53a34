import { existsSync, readFileSync } from "node:fs";
import type { OwnError } from "./answer-gaps.ts";
import type { SecondAnswer } from "./tally-answer.ts";

/** A walk as the program under test reads it, with the answer by brute force. */
export interface StoredSecond {
  readonly name: string;
  /** The pool file and the sheet, as text. */
  readonly pool: string;
  readonly readings: string;
  readonly answer: SecondAnswer;
  /** Largest gaps to a second run with half as many other points, without the `unsure` numbers. */
  readonly ownError: OwnError;
  /** Numbers that this reference does not know well enough to judge by. */
  readonly unsure: readonly string[];
}

/** Where the answers are kept. */
export const secondFile = new URL("second-walks.json", import.meta.url);

export const storedSecond = (): readonly StoredSecond[] =>
  existsSync(secondFile) ? JSON.parse(readFileSync(secondFile, "utf8")) : [];
