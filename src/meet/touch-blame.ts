import type { Beta } from "../numerics/beta.ts";
import { type CauseRates, type TouchState, touchStates } from "./touch-states.ts";

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
  /** The place at which the pad is dead, where that is likelier than not. */
  readonly deadPlace: { readonly place: string; readonly probability: number } | null;
}

/** The states of affairs, summed up. */
export function blameOf(states: readonly TouchState[]): Blame {
  const share = (which: (state: TouchState) => boolean): number =>
    states.filter(which).reduce((total, { weight }) => total + weight, 0);
  const of = (cause: TouchState["cause"]): number => share((state) => state.cause === cause);
  const [neither, path, pad, both] = [of("neither"), of("path"), of("pad"), of("both")];
  const places = new Set(states.flatMap(({ place }) => (place === null ? [] : [place])));
  const dead = [...places]
    .map((place) => ({ place, probability: share((state) => state.place === place) }))
    .find(({ probability }) => probability > 0.5);
  return {
    ...{ neither, path, pad, both },
    pathAtFault: path + both,
    padAtFault: pad + both,
    pointsTo: neither >= 0.5 ? "neither" : path >= pad ? "path" : "pad",
    deadPlace: dead ?? null,
  };
}

/**
 * Presses of one session all over a device, weighed against its path's diagnosis.
 *
 * @param counts Presses that went wrong, and all [presses; whole, 0 or more].
 * @param pathPrior P(the path is at fault) by its readings.
 * @param padPrior P(the pad itself is bad) before anybody pressed it.
 */
export const touchBlame = (
  counts: { readonly events: number; readonly tried: number },
  pathPrior: number,
  padPrior: number,
  rates: CauseRates = missedRates,
): Blame =>
  blameOf(touchStates([{ ...counts, session: 0, place: null }], pathPrior, padPrior, rates));
