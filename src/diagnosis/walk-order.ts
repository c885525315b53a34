import type { Reading } from "../domain/reading.ts";

/** Readings at rest, moved and pressed in the walk's one order: all that drift and displays go by. */
export interface WalkOrder {
  /** The readings in order; their places in this list are their numbers. */
  readonly readings: readonly Reading[];
  /** Every reading has a time of day. */
  readonly timed: boolean;
}

/** By time where every reading of the walk has one, rows of one moment as they stand; else by row. */
export function walkOrder(readings: readonly Reading[]): WalkOrder {
  const timed = readings.length > 0 && readings.every(({ takenAt }) => takenAt?.seconds != null);
  const seconds = ({ takenAt }: Reading): number => takenAt!.seconds!;
  return {
    readings: timed ? readings.toSorted((a, b) => seconds(a) - seconds(b)) : readings,
    timed,
  };
}

/** Place of reading `index` of `count` in the walk: -1/2 for the first, 1/2 for the last. */
export const placeInWalk = (index: number, count: number): number =>
  count > 1 ? index / (count - 1) - 0.5 : 0;
