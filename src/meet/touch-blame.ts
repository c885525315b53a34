import { type Beta, betaAfter, logBetaBinomial } from "../numerics/beta.ts";
import type { RateState } from "./touch-proof.ts";

/**
 * The rates that each state of affairs leads to: the likelihoods, stated. All are engineering
 * judgements, wide on purpose.
 */
export const missedRates = {
  /** All well: about 1 touch in 50 is missed. */
  neither: { a: 1, b: 49 },
  /** A weak path: anything from rarely to often, 1 in 4 on average. */
  path: { a: 1, b: 3 },
  /** A bad pad or plug: 4 in 10 on average. */
  pad: { a: 1, b: 1.5 },
  /** Both: any rate is as likely as any other. */
  both: { a: 1, b: 1 },
} as const satisfies Record<string, Beta>;

/** The same for false touches: series resistance can't close a switch, a leak across it can. */
export const falseRates = {
  neither: { a: 1, b: 49 },
  path: { a: 1, b: 3 },
  pad: { a: 1, b: 1.5 },
  both: { a: 1, b: 1 },
} as const satisfies Record<string, Beta>;

/** Who is to blame, as probabilities that sum to 1. */
export interface Blame {
  readonly neither: number;
  readonly path: number;
  readonly pad: number;
  readonly both: number;
  /** P(path at fault), alone or with the pad. */
  readonly pathAtFault: number;
  /** P(pad or its plug at fault), alone or with the path. */
  readonly padAtFault: number;
  /** Where to look first. */
  readonly pointsTo: "neither" | "path" | "pad";
}

/**
 * Weighs the touches of one device against its path's diagnosis (Bayes' rule over four states).
 *
 * Path and pad fail independently before the presses: `pathPrior` is what the readings leave as
 * P(path at fault), `padPrior` the pad's own. The counts enter by their beta-binomial likelihood.
 * Misses with a good path so fall on the pad or its plug, misses with a weak path on the path.
 */
export function touchBlame(
  counts: { readonly events: number; readonly tried: number },
  pathPrior: number,
  padPrior: number,
  rates: Readonly<Record<"neither" | "path" | "pad" | "both", Beta>> = missedRates,
): Blame {
  const likelihood = (rate: Beta): number =>
    Math.exp(logBetaBinomial(rate, counts.events, counts.tried));
  const weights = {
    neither: (1 - pathPrior) * (1 - padPrior) * likelihood(rates.neither),
    path: pathPrior * (1 - padPrior) * likelihood(rates.path),
    pad: (1 - pathPrior) * padPrior * likelihood(rates.pad),
    both: pathPrior * padPrior * likelihood(rates.both),
  };
  const total = weights.neither + weights.path + weights.pad + weights.both;
  const [neither, path, pad, both] = [
    weights.neither / total,
    weights.path / total,
    weights.pad / total,
    weights.both / total,
  ];
  const pointsTo = neither >= 0.5 ? "neither" : path >= pad ? "path" : "pad";
  return {
    neither,
    path,
    pad,
    both,
    pathAtFault: path + both,
    padAtFault: pad + both,
    pointsTo,
  };
}

/** The states of affairs that missed touches leave, each with what is known of its rate. */
export const stateRates = (
  blame: Blame,
  counts: { readonly events: number; readonly tried: number },
): RateState[] =>
  (["neither", "path", "pad", "both"] as const).map((state) => ({
    weight: blame[state],
    rate: betaAfter(missedRates[state], counts.events, counts.tried),
  }));
