import { type Beta, betaAfter, betaCdf, logBeta, logBetaBinomial } from "../numerics/beta.ts";

/** What "proven" means: P(rate of missed touches <= tolerated) >= confidence. */
export interface ProofRule {
  readonly tolerated: number;
  readonly confidence: number;
}

/** One state of affairs, its probability, and the rate of misses that it leads to. */
export interface RateState {
  readonly weight: number;
  readonly rate: Beta;
}

/** How far a pad is from being proven, pressing on one at a time. */
export interface Proof {
  readonly state: "proven" | "not good enough" | "open";
  /** P(rate <= tolerated) now. */
  readonly probability: number;
  /** Further presses that prove it if every one registers; 0 where proven, null over the limit. */
  readonly pressesIfAllRegister: number | null;
  /** Chance that they all do: beta-binomial, mixed over the states of affairs. */
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
 * Two beliefs are kept apart, as in the planning of trials: whether a pad is proven is judged from
 * `missRate`, which knows the presses and nothing else; how likely it gets there is foreseen from
 * `states`, which knows the path and what pads are like (default: the same as `missRate`).
 *
 * Exact: the number of misses in further presses is walked through its beta-binomial predictive
 * press by press, stopping at the first press at which the pad is proven or shown not good enough.
 *
 * @param pressLimit Presses after which it gives up [presses; whole, 1 or more].
 */
export function touchProof(
  missRate: Beta,
  rule: ProofRule,
  states: readonly RateState[] = [{ weight: 1, rate: missRate }],
  pressLimit = 200,
): Proof {
  const good = (beta: Beta): number => betaCdf(beta, rule.tolerated);
  const probability = good(missRate);
  const needed = pressesIfAllRegister(missRate, rule, pressLimit);
  const shares = provenByPress(missRate, rule, states, pressLimit);
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
    chanceAllRegister: needed === null ? null : foreseen(states, 0, needed),
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

/** P(this very string of presses, `misses` of `pressed` missed), mixed over the states. */
function stringChance(states: readonly RateState[], misses: number, pressed: number): number {
  return states.reduce(
    (sum, { weight, rate: { a, b } }) =>
      sum + weight * Math.exp(logBeta(a + misses, b + pressed - misses) - logBeta(a, b)),
    0,
  );
}

const foreseen = (states: readonly RateState[], misses: number, pressed: number): number =>
  states.reduce(
    (sum, { weight, rate }) => sum + weight * Math.exp(logBetaBinomial(rate, misses, pressed)),
    0,
  );

/** Chance that the pad is proven at or before press n, for n = 0 .. limit. */
function provenByPress(
  missRate: Beta,
  rule: ProofRule,
  states: readonly RateState[],
  limit: number,
): number[] {
  let open = [1]; // open[m]: ways to be undecided with m misses so far
  let proven = 0;
  const shares: number[] = [];
  for (let pressed = 0; pressed <= limit; pressed += 1) {
    const next: number[] = new Array(open.length + 1).fill(0);
    open.forEach((ways, misses) => {
      if (ways === 0) return;
      const good = betaCdf(betaAfter(missRate, misses, pressed), rule.tolerated);
      if (good >= rule.confidence) proven += ways * stringChance(states, misses, pressed);
      else if (1 - good < rule.confidence) {
        next[misses] = (next[misses] ?? 0) + ways;
        next[misses + 1] = (next[misses + 1] ?? 0) + ways;
      }
    });
    shares.push(proven);
    open = next;
  }
  return shares;
}
