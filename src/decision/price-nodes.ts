import type { Costs, Figure } from "../domain/costs.ts";
import type { Node } from "../numerics/weighted-nodes.ts";
import { WEEKS_PER_YEAR } from "../policy/week-grid.ts";
import type { ConnectorCase } from "./connector-case.ts";
import type { Prices } from "./prices.ts";

/**
 * Prices as a sum of units, each times how many there are: with the plans held fixed, a course costs
 * the same sum of its costs under each unit, so that no range of prices asks for a new reckoning.
 */
export const UNITS = 4;

/** How many of each unit: labour an hour, parts, low meets that lose their lane, lanes of meets. */
export type UnitCounts = readonly [labour: number, parts: number, low: number, open: number];

const nothing: Prices = { clean: 0, replace: 0, lowWeek: 0, openWeek: 0, breakdown: 0 };

/** Prices of one connector's steps under each unit alone. */
export function unitPrices({ costs, lanes }: ConnectorCase, { checkWeeks }: Costs): Prices[] {
  const week = lanes / WEEKS_PER_YEAR;
  return [
    { ...nothing, clean: costs.cleanMinutes / 60, replace: costs.replaceMinutes / 60 },
    { ...nothing, replace: costs.part },
    { ...nothing, lowWeek: week },
    { ...nothing, openWeek: week, breakdown: (week * checkWeeks) / 2 },
  ];
}

const countsAt = (labour: number, meets: number, lane: number, loss: number): UnitCounts => [
  labour,
  1,
  meets * lane * loss,
  meets * lane,
];

/** The units that the figures themselves come to. */
export const unitCounts = (subject: ConnectorCase, costs: Costs): UnitCounts =>
  countsAt(
    costs.labourPerHour.value,
    costs.meetsPerSeason.value,
    costs.lostLane.value,
    subject.lossChance,
  );

/** Weights of the 5 %, 50 % and 95 % points. */
const [END, MIDDLE] = [0.185, 0.63];

/**
 * A figure as three nodes: its value as the median, its range as the 5 % and 95 % points.
 *
 * Source: Keefer and Bodily, "Three-point approximations for continuous random variables",
 * Management Science 29 (1983), the extended Pearson-Tukey rule.
 */
export function rangeNodes({ value, low, high }: Figure): readonly Node[] {
  if (low === value && high === value) return [{ value, weight: 1 }];
  return [
    { value: low, weight: END },
    { value, weight: MIDDLE },
    { value: high, weight: END },
  ];
}

/** Units under every combination of the figures' nodes, with its weight; figures independent. */
export function priceNodes(
  subject: ConnectorCase,
  costs: Costs,
): readonly { readonly counts: UnitCounts; readonly weight: number }[] {
  const given = costs.lossChance;
  // A timer that is known to miss what is low loses for certain, whatever the file says.
  const loss = subject.lossChance === given.value ? given : null;
  const losses = loss === null ? [{ value: subject.lossChance, weight: 1 }] : rangeNodes(loss);
  return rangeNodes(costs.labourPerHour).flatMap((labour) =>
    rangeNodes(costs.meetsPerSeason).flatMap((meets) =>
      rangeNodes(costs.lostLane).flatMap((lane) =>
        losses.map((each) => ({
          counts: countsAt(labour.value, meets.value, lane.value, each.value),
          weight: labour.weight * meets.weight * lane.weight * each.weight,
        })),
      ),
    ),
  );
}
