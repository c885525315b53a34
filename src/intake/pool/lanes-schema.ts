import { z } from "zod";
import type { Lane } from "../../domain/place.ts";
import { listOf, name, wholeIn } from "../schema-words.ts";

/** Lanes as the pool file writes them: a number of them, a list, or a range in quotes. */

/** Most lanes that a pool may have. */
const MOST_LANES = 99;

export const laneName = z.union(
  [
    wholeIn(0, 9999, "a whole number from 0 to 9999"),
    name("a word in quotes").describe("A lane that has a name in place of a number."),
  ],
  { error: "a lane: a whole number from 0 to 9999, or a word" },
);

const rangePattern = /^\s*(\d{1,4})\s*-\s*(\d{1,4})\s*$/;

/** A list of lanes, or a range of numbers in quotes. */
const allowedList = 'a list of lanes such as [1, 2, 3], or a range such as "0-9"';
export const laneList = z.union(
  [
    listOf(laneName, 1, MOST_LANES, allowedList),
    z.string({ error: allowedList }).regex(rangePattern, { error: allowedList }),
  ],
  { error: allowedList },
);

const allowedLanes = `how many lanes (1 to ${MOST_LANES}), ${allowedList}`;
export const lanesSchema = z.union([wholeIn(1, MOST_LANES, allowedLanes), laneList], {
  error: allowedLanes,
});

/** A list, or the numbers from the first to the last of a range; a range may run downwards. */
export function lanesOf(given: number | string | readonly Lane[]): readonly Lane[] {
  if (typeof given === "number") return Array.from({ length: given }, (_, i) => i + 1);
  if (typeof given !== "string") return given;
  const parts = rangePattern.exec(given);
  if (parts === null) throw new Error(`${given} is no range of lanes`);
  const [from, to] = [Number(parts[1]), Number(parts[2])];
  const step = from <= to ? 1 : -1;
  return Array.from({ length: Math.abs(to - from) + 1 }, (_, i) => from + step * i);
}

/** A range that names more lanes than a pool may have. */
export const tooManyLanes = (given: number | string | readonly Lane[]): boolean =>
  typeof given === "string" && lanesOf(given).length > MOST_LANES;
