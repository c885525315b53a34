import type { ContactLaw, StepPrices } from "./contact-law.ts";
import { sharesFor } from "./shared-price.ts";
import { type Horizon, type SolvedChain, solveChain } from "./solve-chain.ts";

/** A walk has two stages: act, read again, act once more. */
export type Stage = "first" | "second";

/** One contact's policy at one share of the prices. */
interface SharePolicy {
  readonly share: number;
  /** Solved when first asked for. */
  readonly solved: SolvedChain;
}

/** The policy of one contact of a class, for every share that a connector may ask for. */
export interface ClassPolicy {
  readonly byShare: readonly SharePolicy[];
}

const scaled = (prices: StepPrices, share: number): StepPrices => ({
  ...prices,
  clean: share * prices.clean,
  replace: share * prices.replace,
});

/**
 * Solves a class.
 *
 * @param contacts how many a connector of it holds
 * @param weeks from one walk to the next
 */
export function classPolicy(
  law: ContactLaw,
  prices: StepPrices,
  contacts: number,
  weeks: number,
  horizon: Horizon,
): ClassPolicy {
  return {
    byShare: sharesFor(contacts).map((share): SharePolicy => {
      let known: SolvedChain | null = null;
      return {
        share,
        get solved() {
          known ??= solveChain(law, scaled(prices, share), weeks, horizon);
          return known;
        },
      };
    }),
  };
}
