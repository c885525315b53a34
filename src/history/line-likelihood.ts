import { fastNormalCdf } from "../numerics/fast-normal.ts";
import { normalDensity } from "../numerics/normal.ts";

/** Chance that an observation is wild: a wet day, a wrong lane, a connector not quite home. */
export const WILD_SHARE = 0.03;
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

/** How likely one normal component makes an observation, with two derivatives in `expected`. */
interface Component {
  likelihood: number;
  slope: number;
  bend: number;
}

/** Density at `distance` from the line. */
function resolvedComponent(distance: number, variance: number, into: Component): void {
  const sd = Math.sqrt(variance);
  const density = normalDensity(distance / sd) / sd;
  into.likelihood = density;
  into.slope = (density * distance) / variance;
  into.bend = (density * ((distance * distance) / variance - 1)) / variance;
}

/** Probability from `low` to `high`, measured from the line; either may be infinite. */
function boundComponent(low: number, high: number, variance: number, into: Component): void {
  const sd = Math.sqrt(variance);
  // Both ends above the line: mirror, since the far left tail of the cdf keeps its digits.
  const mirror = low > 0;
  const from = (mirror ? -high : low) / sd;
  const to = (mirror ? -low : high) / sd;
  const [fromOpen, toOpen] = [from === Number.NEGATIVE_INFINITY, to === Number.POSITIVE_INFINITY];
  const atFrom = fromOpen ? 0 : normalDensity(from);
  const atTo = toOpen ? 0 : normalDensity(to);
  into.likelihood = (toOpen ? 1 : fastNormalCdf(to)) - (fromOpen ? 0 : fastNormalCdf(from));
  into.slope = (mirror ? atTo - atFrom : atFrom - atTo) / sd;
  into.bend = ((fromOpen ? 0 : from * atFrom) - (toOpen ? 0 : to * atTo)) / variance;
}

/** Less than this is beyond the digits of the cdf. */
const DIGITS = 1e-12;

/** Negative second derivative of the component's ln likelihood, at least 0. */
const gripOf = ({ likelihood, slope, bend }: Component): number =>
  likelihood > DIGITS ? Math.max(0, ((slope * slope) / likelihood - bend) / likelihood) : 0;

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

const tame: Component = { likelihood: 0, slope: 0, bend: 0 };
const wild: Component = { likelihood: 0, slope: 0, bend: 0 };

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
  const wildVariance = variance + WILD_SPREAD ** 2;
  if (low === high) {
    resolvedComponent(low - expected, variance, tame);
    resolvedComponent(low - expected, wildVariance, wild);
  } else {
    boundComponent(low - expected, high - expected, variance, tame);
    boundComponent(low - expected, high - expected, wildVariance, wild);
  }
  const likelihood = mixed(tame.likelihood, wild.likelihood);
  if (!(likelihood > DIGITS)) {
    farOff((low > expected ? low : high) - expected, wildVariance, into);
    return;
  }
  into.tame = ((1 - WILD_SHARE) * tame.likelihood) / likelihood;
  into.value = Math.log(likelihood);
  into.pull = mixed(tame.slope, wild.slope) / likelihood;
  into.grip = into.tame * gripOf(tame) + (1 - into.tame) * gripOf(wild);
  into.information = Math.max(0, into.pull ** 2 - mixed(tame.bend, wild.bend) / likelihood);
}

const mixed = (ofTame: number, ofWild: number): number =>
  (1 - WILD_SHARE) * ofTame + WILD_SHARE * ofWild;

/** So far off that nothing but a wild value explains it: one resolved at the nearer end. */
function farOff(distance: number, variance: number, into: LineLikelihood): void {
  into.tame = 0;
  into.value =
    Math.log(WILD_SHARE) -
    0.5 * ((distance * distance) / variance + Math.log(2 * Math.PI * variance));
  into.pull = distance / variance;
  into.grip = 1 / variance;
  into.information = into.grip;
}
