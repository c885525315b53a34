import { assumedCheckWeeks, assumedCosts } from "../domain/assumed.ts";
import { connectorRanges } from "../domain/assumed-connectors.ts";
import type { Costs, Figure } from "../domain/costs.ts";
import type { UpkeepGroup } from "./upkeep.ts";

/**
 * What the memo's figures rest on, each with the range that it may lie in. Prices leave what happens
 * as it is; figures of the course change how contacts go, the plan's thresholds staying as they are.
 */
export interface Assumption {
  /** "labour", "price of a lost lane", ... */
  readonly name: string;
  readonly unit: string;
  readonly value: number;
  readonly low: number;
  readonly high: number;
  /** What it may be at all. */
  readonly least: number;
  readonly most: number;
  readonly moves: PriceMove | CourseMove;
}

/** A price at another value. */
interface PriceMove {
  readonly what: "price";
  readonly costs: (costs: Costs, value: number) => Costs;
  readonly groups?: (group: UpkeepGroup, value: number) => UpkeepGroup;
}

/** A course at another value; `weeks`: between walks. */
interface CourseMove {
  readonly what: "course";
  readonly groups: (group: UpkeepGroup, value: number) => UpkeepGroup;
  readonly weeks?: (weeks: number, value: number) => number;
}

const words: Readonly<Record<keyof typeof assumedCosts, string>> = {
  labourPerHour: "labour",
  discountRate: "discount rate",
  horizonYears: "horizon",
  meetsPerSeason: "meets per season",
  lostLane: "price of a lost lane",
  lossChance: "chance that a low path loses its lane",
  ownFailure: "chance that a device fails by itself",
  fallbackCost: "cost of a lane on its fall-backs",
};

const figures = (costs: Costs): readonly Assumption[] =>
  (Object.keys(words) as (keyof typeof assumedCosts)[]).map((key) => {
    const figure: Figure = costs[key];
    return {
      name: words[key],
      unit: assumedCosts[key].unit,
      ...figure,
      least: assumedCosts[key].least,
      most: assumedCosts[key].most,
      moves: {
        what: "price",
        costs: (from, value) => ({ ...from, [key]: { ...from[key], value } }),
      },
    };
  });

/** A multiple of something that each connector has its own value of. */
const times = (
  name: string,
  range: { readonly low: number; readonly high: number },
  what: "price" | "course",
  groups: (group: UpkeepGroup, factor: number) => UpkeepGroup,
): Assumption => ({
  name,
  unit: "times",
  value: 1,
  low: range.low,
  high: range.high,
  least: 0,
  most: Number.POSITIVE_INFINITY,
  moves: what === "price" ? { what, costs: (costs) => costs, groups } : { what, groups },
});

/** Half and double: growth over a season is seldom known better. Judgement. */
const GROWTH_RANGE = { low: 0.5, high: 2 };
/** A cleaning's chance to cure: what few cleanings on record leave open. Judgement. */
const CURE_RANGE = { low: 0.7, high: 1.2 };
/** Walks are put off oftener than they are added. Judgement. */
const INTERVAL_RANGE = { low: 0.5, high: 3 };
/** A chance of cure is never taken to be more. */
const MOST_CURED = 0.98;

const withOxide = (oxide: number, factor: number): number =>
  1 - Math.min(Math.max(MOST_CURED, 1 - oxide), (1 - oxide) * factor);

const prices: readonly Assumption[] = [
  times("price of parts", connectorRanges.part, "price", (group, factor) => ({
    ...group,
    costs: { ...group.costs, part: group.costs.part * factor },
  })),
  times("minutes of work", connectorRanges.cleanMinutes, "price", (group, factor) => ({
    ...group,
    costs: {
      ...group.costs,
      cleanMinutes: group.costs.cleanMinutes * factor,
      replaceMinutes: group.costs.replaceMinutes * factor,
    },
  })),
];

/** Every belief of a group's contacts changed alike. */
const believed = (
  group: UpkeepGroup,
  change: (each: UpkeepGroup["contacts"][number]["beliefs"][number]) => typeof each,
): UpkeepGroup["contacts"] =>
  group.contacts.map((contact) => ({ ...contact, beliefs: contact.beliefs.map(change) }));

const courses: readonly Assumption[] = [
  times("chance that a cleaning cures", CURE_RANGE, "course", (group, factor) => ({
    ...group,
    kind: `${group.kind} cure ${factor}`,
    law: { ...group.law, oxide: withOxide(group.law.oxide, factor) },
    contacts: believed(group, (each) => ({
      ...each,
      belief: each.belief.map((point) => ({ ...point, oxide: withOxide(point.oxide, factor) })),
    })),
  })),
  times("growth of contact resistance", GROWTH_RANGE, "course", (group, factor) => ({
    ...group,
    kind: `${group.kind} growth ${factor}`,
    law: {
      ...group.law,
      modes: group.law.modes.map((mode) => ({ ...mode, rate: mode.rate * factor })),
    },
    contacts: believed(group, (each) => ({
      ...each,
      belief: each.belief.map((point) => ({
        ...point,
        growth: { ...point.growth, rate: point.growth.rate * factor },
      })),
    })),
  })),
  times("life of a connector", connectorRanges.lifeYears, "course", (group, factor) => ({
    ...group,
    kind: `${group.kind} life ${factor}`,
    law: {
      ...group.law,
      life: { ...group.law.life, scale: group.law.life.scale * factor },
    },
  })),
  times("age of what is installed", connectorRanges.ageYears, "course", (group, factor) => ({
    ...group,
    contacts: believed(group, (each) => ({ ...each, ageWeeks: each.ageWeeks * factor })),
  })),
];

const { least: LEAST_WEEKS, most: MOST_WEEKS } = assumedCheckWeeks;

const interval = (weeks: number): Assumption => ({
  name: "weeks between walks",
  unit: "weeks",
  value: weeks,
  low: Math.max(LEAST_WEEKS, Math.round(weeks * INTERVAL_RANGE.low)),
  high: Math.min(MOST_WEEKS, Math.round(weeks * INTERVAL_RANGE.high)),
  least: LEAST_WEEKS,
  most: MOST_WEEKS,
  moves: { what: "course", groups: (group) => group, weeks: (_, value) => value },
});

/** Every assumption, prices first. */
export const assumptionsOf = (costs: Costs): readonly Assumption[] => [
  ...figures(costs),
  ...prices,
  ...courses,
  interval(costs.checkWeeks),
];
