import type { Pool } from "../domain/pool.ts";
import { type ContactFit, climb, findTop, spread } from "./contact-fit.ts";
import type { ContactHistory } from "./contact-history.ts";
import { type FlatHistory, flatten } from "./flat-history.ts";
import type { ClassPrior } from "./line-posterior.ts";
import { byRestrictedLikelihood } from "./random-effects.ts";

/** How fast the contacts at one link of the chain get worse. */
export interface ClassGrowth {
  readonly point: string;
  readonly connector: string;
  readonly contacts: number;
  /** Mean growth [ln ohm a week] and the standard error of that mean. */
  readonly growth: number;
  readonly growthError: number;
  /** Standard deviation of growth from contact to contact [ln ohm a week]. */
  readonly betweenContacts: number;
  /** Standard deviation about the line from walk to walk [ln ohm]. */
  readonly scatter: number;
}

/** A contact with its line. */
export interface FittedContact {
  readonly history: ContactHistory;
  readonly fit: ContactFit;
}

/**
 * What is assumed before any walk, each worth a few contacts and soon outweighed: film takes a
 * contact from sound to fouled (0.2 to 60 ohm, 5.7 in ln) in about a year, so 0.11 a week, give or
 * take 0.1; contacts of a class differ by 0.05; a mated pair read again is within 15 % of its line.
 * Engineering judgement: no published series of this kind was found.
 */
const BEFORE = {
  growth: 0.11,
  growthError: 0.1,
  betweenContacts: 0.05,
  betweenWorth: 2,
  scatter: 0.15,
  scatterWorth: 8,
} as const;

/** Classes whose contacts nobody has seen swing about their answer: enough is enough. */
const ROUNDS = 6;

/** Mean growth, its variance and the variance between contacts, by the contacts' own estimates. */
function classGrowth(fits: readonly ContactFit[]): { mean: number; error2: number; tau2: number } {
  const studies = fits
    .filter(({ ownVariance }) => Number.isFinite(ownVariance))
    .map(({ ownGrowth, ownVariance }) => ({ effect: ownGrowth, variance: ownVariance }));
  const before2 = BEFORE.growthError ** 2;
  if (studies.length === 0) {
    return { mean: BEFORE.growth, error2: before2, tau2: BEFORE.betweenContacts ** 2 };
  }
  const found = byRestrictedLikelihood(studies);
  // Contacts that say little about their own growth say little about how growths differ.
  const worth = studies.reduce(
    (sum, { variance }) =>
      sum + BEFORE.betweenContacts ** 2 / (BEFORE.betweenContacts ** 2 + variance),
    0,
  );
  const tau2 =
    (worth * found.betweenVariance + BEFORE.betweenWorth * BEFORE.betweenContacts ** 2) /
    (worth + BEFORE.betweenWorth);
  let precision = 1 / before2;
  let sum = BEFORE.growth / before2;
  for (const { effect, variance } of studies) {
    precision += 1 / (variance + tau2);
    sum += effect / (variance + tau2);
  }
  return { mean: sum / precision, error2: 1 / precision, tau2 };
}

/** One EM step of the variance about the line, from the tame resolved values. */
function classScatter(
  flats: readonly FlatHistory[],
  fits: readonly ContactFit[],
  scatterVariance: number,
): number {
  let sum = BEFORE.scatterWorth * BEFORE.scatter ** 2;
  let count = BEFORE.scatterWorth;
  flats.forEach((flat, i) => {
    const fit = fits[i]!;
    for (let j = 0; j < flat.weeks.length; j++) {
      if (flat.low[j]! !== flat.high[j]!) continue;
      const { level, levelVariance, covariance } = fit.levels[flat.segment[j]!]!;
      const weeks = flat.weeks[j]!;
      const error2 = flat.errorVariance[j]!;
      const total = error2 + scatterVariance;
      const distance2 = (flat.low[j]! - level - fit.growth * weeks) ** 2;
      if (distance2 > 9 * total) continue;
      const lineVariance =
        levelVariance + 2 * covariance * weeks + fit.growthVariance * weeks * weeks;
      const share = scatterVariance / total;
      sum += share ** 2 * (distance2 + lineVariance) + share * error2;
      count += 1;
    }
  });
  return sum / count;
}

/**
 * Growth of all contacts at one link of the chain: each contact's own, drawn towards the class's by
 * as much as it is uncertain.
 *
 * A random-effects regression on censored values. In turn: every contact's line under the class's
 * prior (exact interval likelihoods, wild values discounted), then the class's mean and variances
 * from what the contacts say without it. The variance of a contact's growth includes that of the
 * class's mean.
 */
export function fitClass(
  histories: readonly ContactHistory[],
  contact: Pool["contact"],
): { class: ClassGrowth; contacts: readonly FittedContact[] } {
  const flats = histories.map((history) => flatten(history, contact));
  let mean: number = BEFORE.growth;
  let error2: number = BEFORE.growthError ** 2;
  let tau2: number = BEFORE.growthError ** 2;
  let scatterVariance: number = BEFORE.scatter ** 2;
  const prior = (): ClassPrior => ({ growth: mean, growthVariance: tau2, scatterVariance });
  const tops = flats.map((flat) => findTop(flat, prior()));
  for (let round = 0; round < ROUNDS; round++) {
    const fits = flats.map((flat, i) => spread(flat, prior(), tops[i]!));
    const next = classGrowth(fits);
    const nextScatter = classScatter(flats, fits, scatterVariance);
    const settled =
      Math.abs(next.mean - mean) < 0.2 * Math.sqrt(next.error2) &&
      Math.abs(Math.sqrt(next.tau2) - Math.sqrt(tau2)) < 0.1 * Math.sqrt(next.tau2) &&
      Math.abs(nextScatter - scatterVariance) < 0.1 * nextScatter;
    ({ mean, error2, tau2 } = next);
    scatterVariance = nextScatter;
    if (settled) break;
    flats.forEach((flat, i) => {
      climb(flat, prior(), tops[i]!);
    });
  }
  // From scratch under the prior that was reached, which is as wide as its own mean is uncertain.
  const last: ClassPrior = { growth: mean, growthVariance: tau2 + error2, scatterVariance };
  const fits = flats.map((flat) => spread(flat, last, findTop(flat, last)));
  const { point, connector } = histories[0]!;
  return {
    class: {
      point,
      connector,
      contacts: histories.length,
      growth: mean,
      growthError: Math.sqrt(error2),
      betweenContacts: Math.sqrt(tau2),
      scatter: Math.sqrt(scatterVariance),
    },
    contacts: histories.map((history, i) => ({ history, fit: fits[i]! })),
  };
}
