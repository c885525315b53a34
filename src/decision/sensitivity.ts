import { assumedCosts } from "../domain/assumed.ts";
import { connectorRanges } from "../domain/assumed-connectors.ts";
import type { Costs, Figure } from "../domain/costs.ts";
import type { ConnectorCase } from "./connector-case.ts";
import type { SensitivityEnd, SensitivityRow } from "./memo-options.ts";
import { optionYears, poolUpkeep, presentCosts, type Upkeep } from "./pool-upkeep.ts";

/** What the options are that an assumption is moved under. */
export interface SensitivityBase {
  readonly upkeep: readonly Upkeep[];
  readonly costs: Costs;
  /** Ids of the options, keep cleaning first, and what each replaces now. */
  readonly options: readonly { readonly id: string; readonly replaced: ReadonlySet<Upkeep> }[];
  /** Id of the option whose net savings are followed. */
  readonly preferred: string;
}

/** One assumption at one value: prices, and connectors where those change too. */
interface Moved {
  readonly costs: Costs;
  readonly subjects?: (subject: ConnectorCase) => ConnectorCase;
}

interface Assumed {
  readonly assumption: string;
  readonly unit: string;
  readonly base: number;
  readonly range: readonly [low: number, high: number];
  readonly move: (costs: Costs, value: number) => Moved;
}

type PoolKey = Exclude<keyof typeof assumedCosts, "ownFailure" | "fallbackCost">;

const words: Readonly<Record<PoolKey, string>> = {
  labourPerHour: "labour",
  discountRate: "discount rate",
  horizonYears: "horizon",
  meetsPerSeason: "meets per season",
  lostLane: "price of a lost lane",
  lossChance: "chance that a low path loses its lane",
};

/** The pool's own figures: only the horizon's and the prices change, the amounts stay. */
function poolFigures(costs: Costs): readonly Assumed[] {
  return (Object.keys(words) as PoolKey[]).map((key) => {
    const figure: Figure = costs[key];
    return {
      assumption: words[key],
      unit: assumedCosts[key].unit,
      base: figure.value,
      range: [figure.low, figure.high],
      move: (from, value) => ({
        costs: { ...from, [key]: { ...from[key], value } },
        ...(key === "lossChance"
          ? {
              subjects: (subject: ConnectorCase) =>
                subject.lossChance === 1 ? subject : { ...subject, lossChance: value },
            }
          : {}),
      }),
    };
  });
}

/** A multiple of something that each connector has its own value of. */
const times = (
  assumption: string,
  range: readonly [number, number],
  change: (subject: ConnectorCase, factor: number) => ConnectorCase,
): Assumed => ({
  assumption,
  unit: "times",
  base: 1,
  range,
  move: (costs, factor) => ({ costs, subjects: (subject) => change(subject, factor) }),
});

/** Half and double: growth over a season is seldom known better. Judgement. */
const GROWTH_RANGE = [0.5, 2] as const;

const priceFigures: readonly Assumed[] = [
  times(
    "price of parts",
    [connectorRanges.part.low, connectorRanges.part.high],
    (subject, factor) => ({
      ...subject,
      costs: { ...subject.costs, part: subject.costs.part * factor },
    }),
  ),
  times(
    "minutes to clean",
    [connectorRanges.cleanMinutes.low, connectorRanges.cleanMinutes.high],
    (subject, factor) => ({
      ...subject,
      costs: { ...subject.costs, cleanMinutes: subject.costs.cleanMinutes * factor },
    }),
  ),
];

const courseFigures: readonly Assumed[] = [
  times(
    "life of a connector",
    [connectorRanges.lifeYears.low, connectorRanges.lifeYears.high],
    (subject, factor) => ({
      ...subject,
      costs: { ...subject.costs, lifeYears: subject.costs.lifeYears * factor },
    }),
  ),
  times("growth of contact resistance", GROWTH_RANGE, (subject, factor) => ({
    ...subject,
    growth: { ...subject.growth, mean: subject.growth.mean * factor },
    likeGrowth: { ...subject.likeGrowth, mean: subject.likeGrowth.mean * factor },
  })),
];

/** Life-cycle cost of each option, its replacements and plans as in the base case. */
function endAt(base: SensitivityBase, value: number, moved: Moved, again: boolean): SensitivityEnd {
  const change = moved.subjects ?? ((subject: ConnectorCase) => subject);
  const plans = base.upkeep.map((each) => each.keeping);
  const upkeep = again
    ? poolUpkeep(
        base.upkeep.map((each) => change(each.subject)),
        moved.costs,
        plans,
      )
    : base.upkeep.map((each) => ({ ...each, subject: change(each.subject) }));
  const lifeCycleCosts = base.options.map(({ replaced }) => {
    const chosen = new Set(upkeep.filter((_, k) => replaced.has(base.upkeep[k] as Upkeep)));
    return presentCosts(optionYears(upkeep, chosen, moved.costs), moved.costs).lifeCycleCost;
  });
  const followed = base.options.findIndex(({ id }) => id === base.preferred);
  const least = lifeCycleCosts.indexOf(Math.min(...lifeCycleCosts));
  return {
    value,
    lifeCycleCosts,
    netSavings: (lifeCycleCosts[0] as number) - (lifeCycleCosts[followed] as number),
    best: base.options[least]?.id ?? base.preferred,
  };
}

/**
 * Each assumption moved alone over its range, what is done staying as the base case has it. The
 * widest swing of the followed option's net savings first.
 */
export function sensitivity(base: SensitivityBase): readonly SensitivityRow[] {
  const { costs } = base;
  const best = endAt(base, 0, { costs }, false).best;
  const rowOf = (assumed: Assumed, again: boolean): SensitivityRow => {
    const [low, high] = assumed.range.map((value) =>
      endAt(base, value, assumed.move(costs, value), again),
    ) as [SensitivityEnd, SensitivityEnd];
    const { assumption, unit, base: at } = assumed;
    const changesRanking = low.best !== best || high.best !== best;
    return { assumption, unit, base: at, low, high, changesRanking };
  };
  const rows = [
    ...[...poolFigures(costs), ...priceFigures].map((assumed) => rowOf(assumed, false)),
    ...courseFigures.map((assumed) => rowOf(assumed, true)),
  ];
  const swing = ({ low, high }: SensitivityRow): number =>
    Math.abs(high.netSavings - low.netSavings);
  return rows.sort((one, other) => swing(other) - swing(one));
}
