import type { ConnectorCase } from "../../src/decision/connector-case.ts";
import type { Costs } from "../../src/domain/costs.ts";

/**
 * The same story told a second time, the slow way: a recursion that follows every outcome of every
 * week (cured or not, low or not, broken down or not) as a tree, with its own distribution function,
 * its own discounting and no tables. Growth and cure chance are single numbers.
 */
export interface Story {
  readonly subject: ConnectorCase;
  readonly costs: Costs;
  readonly weeks: number;
  readonly cure: number;
  readonly growth: number;
  /** Plan of the installed connector; endWeek is where it is replaced, or the horizon. */
  readonly plan: { everyWeeks: number; replaceOver: number | null; endWeek: number };
  /** Plan of each new connector, as the program chose it. */
  readonly fresh: { everyWeeks: number | null; ageWeeks: number | null };
}

/** Normal distribution function by Simpson's rule on the density. */
export function slowNormalCdf(z: number): number {
  if (z < -9) return 0;
  if (z > 9) return 1;
  const n = 200;
  const h = z / n;
  const density = (x: number): number => Math.exp((-x * x) / 2) / Math.sqrt(2 * Math.PI);
  let sum = density(0) + density(z);
  for (let k = 1; k < n; k += 1) sum += density(k * h) * (k % 2 === 1 ? 4 : 2);
  return 0.5 + (sum * h) / 3;
}

const alive = (subject: ConnectorCase, weeks: number): number =>
  Math.exp(-((weeks / 52 / subject.costs.lifeYears) ** subject.costs.lifeShape));

export function slowCosts(story: Story): {
  leave: (level: number) => number;
  keep: (level: number, cleanNow: boolean) => number;
  replaceNow: () => number;
} {
  const { subject, costs, weeks, cure, growth, plan, fresh } = story;
  const years = weeks / 52;
  const discount = (week: number): number =>
    (1 + costs.discountRate.value) ** -Math.min(Math.floor(week / 52) + 1, years);
  const paid = (week: number): number => (week === 0 ? 1 : discount(week));
  const clean = (costs.labourPerHour.value * subject.costs.cleanMinutes) / 60;
  const replace =
    subject.costs.part + (costs.labourPerHour.value * subject.costs.replaceMinutes) / 60;
  const everyMeet = (costs.meetsPerSeason.value / 52) * subject.lanes * costs.lostLane.value;
  const broken = (everyMeet * costs.checkWeeks) / 2;
  const low = (level: number): number =>
    level === Number.POSITIVE_INFINITY
      ? 1
      : slowNormalCdf((level - Math.log(subject.lowOhms)) / subject.scatterLogSd);
  const over = (level: number, least: number): number =>
    level === Number.POSITIVE_INFINITY ? 1 : slowNormalCdf((level - least) / subject.scatterLogSd);
  const loss = (level: number): number =>
    everyMeet * (level === Number.POSITIVE_INFINITY ? 1 : subject.lossChance * low(level));

  /** From the start of a week on, a new connector of this age and weeks since its last cure. */
  function newOne(week: number, age: number, since: number | null): number {
    if (week >= weeks) return 0;
    if (fresh.ageWeeks !== null && age === fresh.ageWeeks)
      return paid(week) * replace + newOne(week, 0, null);
    const likeCure = subject.likeCure.alpha / (subject.likeCure.alpha + subject.likeCure.beta);
    const due = age > 0 && fresh.everyWeeks !== null && age % fresh.everyWeeks === 0;
    const goOn = (weeksSince: number | null): number => {
      const level =
        Math.log(subject.newOhms) +
        subject.creepPerYear * Math.floor(age / 52) +
        subject.likeGrowth.mean * (weeksSince ?? age);
      const stays = alive(subject, age + 1) / alive(subject, age);
      const after = week + 1 < weeks ? paid(week + 1) * replace + newOne(week + 1, 0, null) : 0;
      return (
        discount(week) * loss(level) +
        stays * newOne(week + 1, age + 1, weeksSince === null ? null : weeksSince + 1) +
        (1 - stays) * (discount(week) * broken + after)
      );
    };
    return due
      ? paid(week) * clean + likeCure * goOn(0) + (1 - likeCure) * goOn(since)
      : goOn(since);
  }
  const refit = (week: number): number => paid(week) * replace + newOne(week, 0, null);

  /** From the start of a week on, the installed one; `since` null: never cured, on its line. */
  function installed(week: number, since: number | null, level: number, skip: boolean): number {
    if (week >= plan.endWeek) return week < weeks ? refit(week) : 0;
    const age = subject.ageYears * 52 + week;
    const levelNow = (weeksSince: number | null): number =>
      weeksSince === null
        ? level + growth * week
        : Math.log(subject.floorOhms) +
          subject.creepPerYear * Math.floor(week / 52) +
          growth * weeksSince;
    const goOn = (weeksSince: number | null): number => {
      const stays = alive(subject, age + 1) / alive(subject, age);
      return (
        discount(week) * loss(levelNow(weeksSince)) +
        stays * installed(week + 1, weeksSince === null ? null : weeksSince + 1, level, false) +
        (1 - stays) * (discount(week) * broken + (week + 1 < weeks ? refit(week + 1) : 0))
      );
    };
    if (skip || week % plan.everyWeeks !== 0) return goOn(since);
    const stillLow = plan.replaceOver === null ? 0 : over(levelNow(since), plan.replaceOver);
    return (
      paid(week) * clean +
      cure * goOn(0) +
      (1 - cure) * (stillLow * refit(week) + (1 - stillLow) * goOn(since))
    );
  }
  return {
    leave: (level) =>
      slowCosts({
        ...story,
        plan: { everyWeeks: weeks + 1, replaceOver: null, endWeek: weeks },
      }).keep(level, false),
    keep: (level, cleanNow) => installed(0, null, level, !cleanNow),
    replaceNow: () => refit(0),
  };
}
