import { type Beta, betaAfter, logBeta } from "../numerics/beta.ts";
import type { RateState } from "./touch-proof.ts";

/** Presses of one session (a day, or a heat of it) at one place of a device, counted. */
export interface PressPart {
  /** Sessions in the order of time, from 0. */
  readonly session: number;
  /** Null: all over it, or not written. */
  readonly place: string | null;
  readonly events: number;
  readonly tried: number;
}

/** What the presses may rest on. */
export interface TouchState extends RateState {
  readonly cause: "neither" | "path" | "pad" | "both";
  /** The first session in which it was so. */
  readonly from: number;
  /** The one place of the pad that is dead; null: no single place. */
  readonly place: string | null;
}

export type CauseRates = Readonly<Record<TouchState["cause"], Beta>>;

/** A dead edge misses nearly every press: judgement. */
const deadPlace: Beta = { a: 3, b: 1 };

/** Of bad pads, those that are bad at one place only: judgement. */
const deadShare = 0.5;

interface Counts {
  readonly events: number;
  readonly tried: number;
}

const sum = (parts: readonly PressPart[]): Counts => ({
  events: parts.reduce((total, one) => total + one.events, 0),
  tried: parts.reduce((total, one) => total + one.tried, 0),
});

/** ln of the chance of these very presses, in their order, where the rate is beta distributed. */
const logString = ({ a, b }: Beta, { events, tried }: Counts): number =>
  logBeta(a + events, b + tried - events) - logBeta(a, b);

/**
 * Every state of affairs that may be behind the presses, with its probability (Bayes' rule).
 *
 * Path and pad fail independently: `pathPrior` is what the readings leave as P(path at fault),
 * `padPrior` the pad's own. What is at fault has been so since one of the sessions, any as likely as
 * another; before that the presses were a good device's. So forty that registered yesterday excuse
 * nothing that is missed today. A weak path misses alike wherever the pad is pressed; a bad pad may be
 * dead at one place, any of those pressed, and good elsewhere.
 */
export function touchStates(
  parts: readonly PressPart[],
  pathPrior: number,
  padPrior: number,
  rates: CauseRates,
): readonly TouchState[] {
  const sessions = [...new Set(parts.map(({ session }) => session))].toSorted((a, b) => a - b);
  const starts = sessions.length === 0 ? [0] : sessions;
  const good = logString(rates.neither, sum(parts));
  const states: TouchState[] = [
    {
      ...{ cause: "neither", from: starts[0]!, place: null },
      weight: (1 - pathPrior) * (1 - padPrior) * Math.exp(good),
      rate: betaAfter(rates.neither, sum(parts).events, sum(parts).tried),
    },
  ];
  const priors = {
    path: pathPrior * (1 - padPrior),
    pad: (1 - pathPrior) * padPrior,
    both: pathPrior * padPrior,
  };
  for (const from of starts)
    states.push(...sinceSession(from, parts, priors, rates, 1 / starts.length));
  const total = states.reduce((all, { weight }) => all + weight, 0);
  return states.map((state) => ({ ...state, weight: state.weight / total }));
}

/** What may be at fault since one session, weighed by `share` of its prior. */
function sinceSession(
  from: number,
  parts: readonly PressPart[],
  priors: Readonly<Record<"path" | "pad" | "both", number>>,
  rates: CauseRates,
  share: number,
): TouchState[] {
  const before = parts.filter(({ session }) => session < from);
  const since = parts.filter(({ session }) => session >= from);
  const { events, tried } = sum(since);
  const places = placesOf(since);
  const dead = places.length > 1 ? deadShare : 0;
  const earlier = logString(rates.neither, sum(before));
  const alike = (["path", "pad", "both"] as const).map((cause): TouchState => {
    const prior = share * priors[cause] * (cause === "pad" ? 1 - dead : 1);
    const fit = earlier + logString(rates[cause], { events, tried });
    const weight = prior * Math.exp(fit);
    return { cause, from, place: null, weight, rate: betaAfter(rates[cause], events, tried) };
  });
  const atOnePlace = places.map((place): TouchState => {
    const there = sum(since.filter((one) => one.place === place));
    const others = sum([...before, ...since.filter((one) => one.place !== place)]);
    const fit = logString(deadPlace, there) + logString(rates.neither, others);
    const weight = ((share * priors.pad * dead) / places.length) * Math.exp(fit);
    return { cause: "pad", from, place, weight, rate: betaAfter(rates.pad, events, tried) };
  });
  return [...alike, ...atOnePlace];
}

const placesOf = (parts: readonly PressPart[]): readonly string[] => [
  ...new Set(parts.flatMap(({ place }) => (place === null ? [] : [place]))),
];

/** The session since which something is at fault, where that is likelier than not; else the first. */
export function faultySince(states: readonly TouchState[]): number {
  const [first = 0] = states.map(({ from }) => from).toSorted((a, b) => a - b);
  const later = new Map<number, number>();
  for (const { cause, from, weight } of states)
    if (cause !== "neither" && from > first) later.set(from, (later.get(from) ?? 0) + weight);
  const all = [...later.values()].reduce((total, one) => total + one, 0);
  if (all <= 0.5) return first;
  return [...later].reduce((best, one) => (one[1] > best[1] ? one : best))[0];
}
