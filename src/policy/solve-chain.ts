import { WEEKS_PER_YEAR } from "../domain/calendar.ts";
import { carry, expectedAt } from "./carry.ts";
import {
  type ContactChain,
  contactChain,
  ofKind,
  troubleCost,
  troubleWeeks,
} from "./contact-chain.ts";
import type { ContactLaw, StepPrices } from "./contact-law.ts";

/**
 * The best policy of one contact whose state is seen at every walk, backward over the horizon and on:
 *
 *     W_t(s) = loss(s) + E[V_{t+1} | s]                       nothing more is done at this walk
 *     R_t    = replace + E[W_t(new)]
 *     S_t(s) = min(W_t(s), clean + E[W_t | s cleaned], R_t)   once more, after reading again
 *     V_t(s) = min(W_t(s), clean + E[S_t | s cleaned], R_t)
 *
 * with a body that breaks before the next walk replaced there. Every amount is worth what it is worth
 * now, discounted week by week: were a year's amounts all worth as much as at its end, work at the next
 * walk would be a whole year's rate cheaper than now, and be put off from walk to walk for ever. After the first year walks are taken four times as far apart, which adds
 * the same to every step's cost but for little; and the years go on beyond the horizon, else nobody
 * would replace anything in its last ones.
 *
 * Source: Puterman, "Markov decision processes" (1994), section 4.5, backward induction (memory).
 */
export interface SolvedChain {
  readonly chain: ContactChain;
  readonly prices: StepPrices;
  /** W_0, S_0 and V_0 of every state [currency]. */
  readonly wait: Float64Array;
  readonly second: Float64Array;
  readonly best: Float64Array;
  /** R_0 less the replacement's own price [currency]. */
  readonly fresh: number;
}

/** What money is worth: real rate, and how far the policy looks. */
export interface Horizon {
  readonly discountRate: number;
  readonly years: number;
}

/** Years beyond the horizon; weeks until walks are further apart, and how much. */
const [TAIL_YEARS, NEAR_WEEKS, FAR_STRIDE] = [5, 39, 4] as const;

/** Present worth of 1 so many weeks from now. */
const worthAt = (rate: number, week: number): number => (1 + rate) ** -(week / WEEKS_PER_YEAR);

/** Expected value of each state right after a cleaning, its price left out. */
export function cleaned(chain: ContactChain, values: Float64Array, out: Float64Array): void {
  const { law, size, ages, kinds } = chain;
  for (let offset = 0; offset < ages.length * size; offset += size)
    for (const block of chain.blocks) {
      const shift = block.levels.length;
      const floor = expectedAt(block.floor, values, offset);
      for (const [kind, oxide] of kinds.oxide.entries()) {
        const cured = (1 - oxide) * law.cure;
        const { index, part } = kinds.failed[kind]!;
        const start = offset + ofKind(block, block.start, kind);
        const after = offset + ofKind(block, block.start, index);
        const atFloor = cured * floor;
        const [here, next] = [(1 - cured) * (1 - part), (1 - cured) * part];
        for (let j = 0; j < shift; j++)
          out[start + j] = atFloor + here * values[after + j]! + next * values[after + shift + j]!;
      }
      const mended = expectedAt(block.floor, values, offset + kinds.fresh * shift);
      for (const at of [offset + block.open, offset + block.intermittent]) {
        out[at] = mended;
        out[at + 1] = values[at + 1]!;
      }
    }
}

/** Work arrays of one backward run. */
interface Tables {
  readonly wait: Float64Array;
  readonly second: Float64Array;
  readonly best: Float64Array;
  readonly scratch: Float64Array;
}

const tablesOf = ({ size, ages }: ContactChain): Tables => {
  const table = (): Float64Array => new Float64Array(size * ages.length);
  return { wait: table(), second: table(), best: table(), scratch: table() };
};

/** One walk further back: reads `best` of the next walk, leaves the tables of this one. */
function stepBack(
  chain: ContactChain,
  prices: StepPrices,
  loss: Float64Array,
  tables: Tables,
  worth: { readonly work: number; readonly loss: number; readonly next: number },
): number {
  const { size, ages, breaking, fresh: entries, weeks } = chain;
  const { wait, second, best, scratch } = tables;
  if (prices.clean === 0 && prices.replace === 0)
    return stepFree(chain, prices, loss, tables, worth);
  carry(chain, best, wait);
  const refit = worth.next * prices.replace + expectedAt(entries, best, 0);
  const broken = (worth.loss * prices.openWeek * weeks) / 2 + refit;
  const lossWorth = worth.loss;
  for (let a = 0, at = 0; a < ages.length; a++) {
    const breaks = breaking[a]!;
    const holds = 1 - breaks;
    const atBreak = breaks * broken;
    for (let s = 0; s < size; s++, at++)
      wait[at] = holds * (lossWorth * loss[s]! + wait[at]!) + atBreak;
  }
  const fresh = expectedAt(entries, wait, 0);
  const replace = worth.work * prices.replace + fresh;
  const clean = worth.work * prices.clean;
  cleaned(chain, wait, scratch);
  leastOf(wait, clean, scratch, replace, second);
  cleaned(chain, second, scratch);
  leastOf(wait, clean, scratch, replace, best);
  return fresh;
}

/** The least of waiting, of cleaning with what comes after it, and of replacing, state by state. */
function leastOf(
  wait: Float64Array,
  clean: number,
  after: Float64Array,
  replace: number,
  out: Float64Array,
): void {
  for (let at = 0; at < out.length; at++) {
    let least = wait[at]!;
    const cleaning = clean + after[at]!;
    if (cleaning < least) least = cleaning;
    out[at] = Math.min(replace, least);
  }
}

/** The same where work is free: every walk begins with a new contact, whatever stood there. */
function stepFree(
  { size, breaking, fresh, weeks }: ContactChain,
  prices: StepPrices,
  loss: Float64Array,
  { wait, second, best }: Tables,
  worth: { readonly loss: number },
): number {
  const next = best[0]!;
  const broken = (worth.loss * prices.openWeek * weeks) / 2;
  for (let at = 0; at < wait.length; at++) {
    const breaks = breaking[Math.floor(at / size)]!;
    wait[at] = (1 - breaks) * worth.loss * loss[at % size]! + breaks * broken + next;
  }
  const renewed = expectedAt(fresh, wait, 0);
  second.fill(renewed);
  best.fill(renewed);
  return renewed;
}

/** Runs the walks from the last before `to` back to `from`, in weeks from now. */
function runBack(
  chain: ContactChain,
  prices: StepPrices,
  rate: number,
  tables: Tables,
  from: number,
  to: number,
): number {
  const loss = troubleCost(troubleWeeks(chain), prices);
  const { weeks } = chain;
  let fresh = 0;
  for (let t = Math.ceil((to - from) / weeks - 1e-9) - 1; t >= 0; t--) {
    const week = from + t * weeks;
    const worth = worthAt(rate, week);
    fresh = stepBack(chain, prices, loss, tables, {
      work: worth,
      loss: worth,
      next: worthAt(rate, week + weeks),
    });
  }
  return fresh;
}

/** The best policy over so many walks from now, nothing counted after them. */
export function runWalks(
  chain: ContactChain,
  prices: StepPrices,
  discountRate: number,
  walks: number,
): SolvedChain {
  const tables = tablesOf(chain);
  const fresh = runBack(chain, prices, discountRate, tables, 0, walks * chain.weeks);
  const { wait, second, best } = tables;
  return { chain, prices, wait, second, best, fresh };
}

/**
 * Solves one contact's policy.
 *
 * @param weeks from one walk to the next
 */
export function solveChain(
  law: ContactLaw,
  prices: StepPrices,
  weeks: number,
  { discountRate, years }: Horizon,
): SolvedChain {
  const chain = contactChain(law, weeks);
  const tables = tablesOf(chain);
  const end = (years + TAIL_YEARS) * WEEKS_PER_YEAR;
  const near = Math.min(end, Math.ceil(NEAR_WEEKS / weeks) * weeks);
  const far = contactChain(law, weeks * FAR_STRIDE, chain.grids);
  runBack(far, prices, discountRate, tables, near, end);
  const fresh = runBack(chain, prices, discountRate, tables, 0, near);
  const { wait, second, best } = tables;
  return { chain, prices, wait, second, best, fresh };
}
