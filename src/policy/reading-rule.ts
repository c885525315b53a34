import { normalCdf } from "../numerics/normal.ts";
import { type ContactChain, ofKind } from "./contact-chain.ts";

/**
 * A rule that a person can pin to the wall: what to do, by what the path's last point reads.
 *
 * "Clean under 4.83 V; replace if after cleaning it still reads under 4.60 V, or after the second
 * failure." A cleaning failed where the path then still reads under `cleanUnder`.
 */
export interface ReadingRule {
  /** What is done first where it reads under `cleanUnder`: where replacing is, nothing is cleaned. */
  readonly first: "clean" | "replace";
  /** Clean where it reads under this [V]; null: never because of a reading. */
  readonly cleanUnder: number | null;
  /** Replace where it reads under this after a cleaning [V]; null: not because of that. */
  readonly replaceUnder: number | null;
  /** Replace after so many failed cleanings in a row, at least 1; null: never because of that. */
  readonly replaceAfter: number | null;
  /** Clean no more after so many failed cleanings in a row, at least 1; null: clean on. */
  readonly leaveAfter: number | null;
  /** Clean every so many weeks, whatever it reads; null: not. */
  readonly cleanEvery: number | null;
}

/** What a contact's path reads. */
export interface ReadingView {
  /** Last point's volts by the contact's ln ohms, all else on the path as it is. */
  readonly volts: (level: number) => number;
  /** Of one reading [V]. */
  readonly noise: number;
  /** Of the readings of a contact that comes and goes, the share that shows it. */
  readonly badShare: number;
}

/** P(each state of one age reads under so many volts). */
export function readsUnder(chain: ContactChain, view: ReadingView, volts: number): Float64Array {
  const chances = new Float64Array(chain.size);
  for (const block of chain.blocks) {
    for (const [j, level] of block.levels.entries()) {
      const share = normalCdf((volts - view.volts(level)) / view.noise);
      for (const kind of chain.kinds.oxide.keys())
        chances[ofKind(block, block.start + j, kind)] = share;
    }
    for (const forGood of [0, 1]) {
      chances[block.open + forGood] = volts > 0 ? 1 : 0;
      chances[block.intermittent + forGood] = view.badShare;
    }
  }
  return chances;
}
