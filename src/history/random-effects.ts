/**
 * A random-effects mean: studies differ from each other by more than their own errors.
 *
 * Each `effect` estimates a value of its own, `Normal(mean, betweenVariance)`, with a known error
 * `variance`. Here the studies are contacts and the effect is growth per week.
 */
export interface RandomEffects {
  readonly mean: number;
  readonly meanVariance: number;
  /** Between studies, 0 where they differ by no more than their errors. */
  readonly betweenVariance: number;
}

export interface Study {
  readonly effect: number;
  /** Variance of the effect's own error; above 0. */
  readonly variance: number;
}

/** Mean for a between-study variance taken as known. */
function meanGiven(studies: readonly Study[], betweenVariance: number): RandomEffects {
  let weightSum = 0;
  let effectSum = 0;
  for (const { effect, variance } of studies) {
    const weight = 1 / (variance + betweenVariance);
    weightSum += weight;
    effectSum += weight * effect;
  }
  return { mean: effectSum / weightSum, meanVariance: 1 / weightSum, betweenVariance };
}

/** Cochran's Q about the fixed-effect mean: near `studies.length - 1` where nothing is between. */
export function heterogeneity(studies: readonly Study[]): number {
  const { mean } = meanGiven(studies, 0);
  return studies.reduce((sum, { effect, variance }) => sum + (effect - mean) ** 2 / variance, 0);
}

/**
 * Between-study variance by moments, in closed form.
 *
 * Source: DerSimonian & Laird, Controlled Clinical Trials 7 (1986) 177.
 */
export function byMoments(studies: readonly Study[]): RandomEffects {
  let first = 0;
  let second = 0;
  for (const { variance } of studies) {
    first += 1 / variance;
    second += 1 / variance ** 2;
  }
  const excess = heterogeneity(studies) - (studies.length - 1);
  return meanGiven(
    studies,
    studies.length < 2 ? 0 : Math.max(0, excess / (first - second / first)),
  );
}

/**
 * Between-study variance by restricted maximum likelihood, Fisher scoring from the moment estimate.
 *
 * Source: Viechtbauer, Journal of Educational and Behavioral Statistics 30 (2005) 261.
 */
export function byRestrictedLikelihood(studies: readonly Study[]): RandomEffects {
  let current = byMoments(studies);
  if (studies.length < 2) return current;
  for (let iteration = 0; iteration < 200; iteration++) {
    let first = 0;
    let second = 0;
    let third = 0;
    let squares = 0;
    for (const { effect, variance } of studies) {
      const weight = 1 / (variance + current.betweenVariance);
      first += weight;
      second += weight ** 2;
      third += weight ** 3;
      squares += (weight * (effect - current.mean)) ** 2;
    }
    const score = squares - (first - second / first);
    const information = second - (2 * third) / first + (second / first) ** 2;
    const next = Math.max(0, current.betweenVariance + score / information);
    const settled = Math.abs(next - current.betweenVariance) <= 1e-12 + 1e-10 * next;
    current = meanGiven(studies, next);
    if (settled) break;
  }
  return current;
}
