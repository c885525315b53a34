import { cleanMass } from "./clean-mass.ts";
import { type ContactChain, contactChain, troubleWeeks } from "./contact-chain.ts";
import { push } from "./push.ts";
import type { SolvedChain } from "./solve-chain.ts";

/** Walks that a new contact is followed for, each so many checks after the last. */
const [WALKS, STRIDE] = [39, 4] as const;

/** How often a contact that its policy keeps reads low, is open, comes and goes: shares of the time. */
export interface TypicalTrouble {
  readonly low: number;
  readonly open: number;
  readonly intermittent: number;
}

const sumOver = (chain: ContactChain, mass: Float64Array, weeks: Float64Array): number => {
  let sum = 0;
  for (let at = 0; at < mass.length; at++) sum += mass[at]! * weeks[at % chain.size]!;
  return sum;
};

/** Follows a new contact under its policy for three years of weekly walks, states seen. */
export function typicalTrouble({ chain: near, wait, best, second }: SolvedChain): TypicalTrouble {
  const chain = contactChain(near.law, near.weeks * STRIDE, near.grids);
  const trouble = troubleWeeks(chain);
  let mass: Float64Array = new Float64Array(wait.length);
  for (const { state, weight } of chain.fresh) mass[state]! += weight;
  const sums = { low: 0, open: 0, intermittent: 0 };
  for (let t = 0; t < WALKS; t++) {
    mass = worked(chain, mass, { wait, best, second });
    sums.low += sumOver(chain, mass, trouble.low);
    sums.open += sumOver(chain, mass, trouble.open);
    sums.intermittent += sumOver(chain, mass, trouble.intermittent);
    const next = new Float64Array(mass.length);
    push(chain, mass, next);
    mass = next;
  }
  const weeks = WALKS * chain.weeks;
  return {
    low: sums.low / weeks,
    open: sums.open / weeks,
    intermittent: sums.intermittent / weeks,
  };
}

/** A walk's work: what is not worth waiting with is cleaned, and what is then not, replaced. */
function worked(
  chain: ContactChain,
  mass: Float64Array,
  { wait, best, second }: Pick<SolvedChain, "wait" | "best" | "second">,
): Float64Array {
  const out = mass.slice();
  const taken = new Float64Array(mass.length);
  for (let at = 0; at < mass.length; at++)
    if (best[at]! < wait[at]! - 1e-9) {
      taken[at] = mass[at]!;
      out[at] = 0;
    }
  const after = new Float64Array(mass.length);
  cleanMass(chain, taken, after);
  let replaced = 0;
  for (let at = 0; at < mass.length; at++) {
    if (second[at]! < wait[at]! - 1e-9) replaced += after[at]!;
    else out[at]! += after[at]!;
  }
  for (const { state, weight } of chain.fresh) out[state]! += replaced * weight;
  return out;
}
