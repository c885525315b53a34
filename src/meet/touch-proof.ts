import { type Beta, betaAfter, betaCdf, logBetaBinomial } from "./beta-distribution.ts";

/** What "proven" means: P(rate of missed touches <= tolerated) >= confidence. */
export interface ProofRule {
  readonly tolerated: number;
  readonly confidence: number;
}

/** How far a pad is from being proven, pressing on one at a time. */
export interface Proof {
  readonly state: "proven" | "not good enough" | "open";
  /** P(rate <= tolerated) now. */
  readonly probability: number;
  /** Further presses that prove it if every one registers; 0 where proven, null over the limit. */
  readonly pressesIfAllRegister: number | null;
  /** Chance that they all do: beta-binomial, the rate's own doubt included. */
  readonly chanceAllRegister: number | null;
  /** Presses within which the pad is as likely proven as not, misses allowed; null: not likely. */
  readonly medianPresses: number | null;
  /** Chance of ever being proven within `pressLimit` further presses. */
  readonly chanceProven: number;
  readonly pressLimit: number;
}

/**
 * The presses that a pad still needs, given what is known of its rate of misses.
 *
 * Exact: the number of misses in further presses is walked through its beta-binomial predictive
 * press by press, stopping at the first press at which the pad is proven or shown not good enough.
 */
export function touchProof(missRate: Beta, rule: ProofRule, pressLimit = 200): Proof {
  const good = (beta: Beta): number => betaCdf(beta, rule.tolerated);
  const probability = good(missRate);
  const needed = pressesIfAllRegister(missRate, rule, pressLimit);
  const shares = provenByPress(missRate, rule, pressLimit);
  const reached = shares.findIndex((share) => share >= 0.5);
  const state =
    probability >= rule.confidence
      ? "proven"
      : 1 - probability >= rule.confidence
        ? "not good enough"
        : "open";
  return {
    state,
    probability,
    pressesIfAllRegister: needed,
    chanceAllRegister: needed === null ? null : Math.exp(logBetaBinomial(missRate, 0, needed)),
    medianPresses: reached < 0 ? null : reached,
    chanceProven: shares.at(-1) ?? 0,
    pressLimit,
  };
}

function pressesIfAllRegister(missRate: Beta, rule: ProofRule, limit: number): number | null {
  for (let presses = 0; presses <= limit; presses += 1)
    if (betaCdf(betaAfter(missRate, 0, presses), rule.tolerated) >= rule.confidence) return presses;
  return null;
}

/** Chance that the pad is proven at or before press n, for n = 0 .. limit. */
function provenByPress(missRate: Beta, rule: ProofRule, limit: number): number[] {
  let open = [1]; // open[m]: chance of being undecided with m misses so far
  let proven = 0;
  const shares: number[] = [];
  for (let pressed = 0; pressed <= limit; pressed += 1) {
    const next: number[] = new Array(open.length + 1).fill(0);
    open.forEach((share, misses) => {
      if (share === 0) return;
      const now = betaAfter(missRate, misses, pressed);
      const good = betaCdf(now, rule.tolerated);
      if (good >= rule.confidence) proven += share;
      else if (1 - good < rule.confidence) {
        const miss = now.a / (now.a + now.b);
        next[misses] = (next[misses] ?? 0) + share * (1 - miss);
        next[misses + 1] = (next[misses + 1] ?? 0) + share * miss;
      }
    });
    shares.push(proven);
    open = next;
  }
  return shares;
}
