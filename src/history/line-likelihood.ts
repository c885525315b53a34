import { normalDensity } from "../distributions/normal.ts";
import { fastNormalCdf } from "./fast-normal.ts";

/** Chance that an observation is wild: a wet day, a wrong lane, a connector not quite home. */
const WILD_SHARE = 0.03;
const LOG_ODDS_TAME = Math.log((1 - WILD_SHARE) / WILD_SHARE);
/** Standard deviation that a wild observation has on top [ln ohm]. */
const WILD_SPREAD = 2.5;

/**
 * What one observation says about a line that expects `expected` ln ohms at it.
 *
 * The likelihood is a mixture of a tame and a wild normal distribution about the line: density
 * where the resistance was resolved, probability of the interval where it was only bounded.
 */
export interface LineLikelihood {
  /** ln likelihood. */
  value: number;
  /** Its derivative in `expected`. */
  pull: number;
  /** Curvature of the quadratic that bounds it from below at `expected` (EM): above 0. */
  grip: number;
  /** Observed information: `grip` less what not knowing wild from tame costs; at least 0. */
  information: number;
  /** P(tame). */
  tame: number;
}

/** One normal component's ln likelihood with first and negative second derivative. */
interface Component {
  value: number;
  pull: number;
  grip: number;
}

function resolvedComponent(distance: number, variance: number, into: Component): void {
  into.value = -0.5 * ((distance * distance) / variance + Math.log(2 * Math.PI * variance));
  into.pull = distance / variance;
  into.grip = 1 / variance;
}

/** Interval from `low` to `high`, measured from the line; either may be infinite. */
function boundComponent(low: number, high: number, variance: number, into: Component): void {
  const sd = Math.sqrt(variance);
  // Both ends above the line: mirror, since the far left tail of the cdf keeps its digits.
  const mirror = low > 0;
  const from = (mirror ? -high : low) / sd;
  const to = (mirror ? -low : high) / sd;
  const [fromOpen, toOpen] = [from === Number.NEGATIVE_INFINITY, to === Number.POSITIVE_INFINITY];
  const probability = (toOpen ? 1 : fastNormalCdf(to)) - (fromOpen ? 0 : fastNormalCdf(from));
  if (!(probability > 1e-12)) {
    // Beyond the digits of the cdf: as good as resolved at the nearer end.
    resolvedComponent(mirror ? low : Math.min(high, 0), variance, into);
    return;
  }
  const atFrom = fromOpen ? 0 : normalDensity(from);
  const atTo = toOpen ? 0 : normalDensity(to);
  const slope = (atFrom - atTo) / probability;
  const bend = ((fromOpen ? 0 : from * atFrom) - (toOpen ? 0 : to * atTo)) / probability;
  into.value = Math.log(probability);
  into.pull = (mirror ? -slope : slope) / sd;
  into.grip = Math.max(0, slope * slope - bend) / variance;
}

/** A bound so many standard deviations above the line says nothing about it. */
const CERTAIN = 5;

/** The upper bound `high` is so far above the line that the observation may be skipped. */
export const saysNothing = (
  low: number,
  high: number,
  variance: number,
  expected: number,
): boolean =>
  low === -Infinity && high > expected && (high - expected) ** 2 > CERTAIN ** 2 * variance;

const tameComponent: Component = { value: 0, pull: 0, grip: 0 };
const wildComponent: Component = { value: 0, pull: 0, grip: 0 };

/**
 * Fills `into` for an observation in [low, high] ln ohms (equal where resolved), whose variance is
 * that of its own error (0 for a bound) plus the scatter about the line.
 */
export function lineLikelihood(
  low: number,
  high: number,
  variance: number,
  expected: number,
  into: LineLikelihood,
): void {
  const component = low === high ? resolvedAt : boundComponent;
  component(low - expected, high - expected, variance, tameComponent);
  component(low - expected, high - expected, variance + WILD_SPREAD ** 2, wildComponent);
  const lead = LOG_ODDS_TAME + tameComponent.value - wildComponent.value;
  into.tame = 1 / (1 + Math.exp(-lead));
  into.value =
    lead > 0
      ? Math.log(1 - WILD_SHARE) + tameComponent.value - Math.log(into.tame)
      : Math.log(WILD_SHARE) + wildComponent.value - Math.log(1 - into.tame);
  const rest = 1 - into.tame;
  into.pull = into.tame * tameComponent.pull + rest * wildComponent.pull;
  into.grip = into.tame * tameComponent.grip + rest * wildComponent.grip;
  const between = into.tame * rest * (tameComponent.pull - wildComponent.pull) ** 2;
  into.information = Math.max(0, into.grip - between);
}

const resolvedAt = (low: number, _high: number, variance: number, into: Component): void =>
  resolvedComponent(low, variance, into);
