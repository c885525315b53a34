import type { ConnectorCosts, Costs } from "../domain/costs.ts";
import { WEEKS_PER_YEAR } from "../policy/week-grid.ts";
import type { ConnectorCase } from "./connector-case.ts";

/** What the steps of a course cost for one connector. */
export interface Prices {
  /** Labour of one cleaning [currency]. */
  readonly clean: number;
  /** Part and labour of one replacement [currency]. */
  readonly replace: number;
  /** Expected loss in a week in which the path reads low [currency per week]. */
  readonly lowWeek: number;
  /** The same while the contact is open: every meet loses the lane [currency per week]. */
  readonly openWeek: number;
  /** Expected loss of a breakdown: the meets until the next check, on average half a gap [currency]. */
  readonly breakdown: number;
}

/** Meets in a week. */
export const meetsPerWeek = (costs: Costs): number => costs.meetsPerSeason.value / WEEKS_PER_YEAR;

/** Labour of one cleaning [currency]. */
const cleaningPrice = (costs: Costs, connector: ConnectorCosts): number =>
  (costs.labourPerHour.value * connector.cleanMinutes) / 60;

/** Part and labour of one replacement [currency]. */
export const replacementPrice = (costs: Costs, connector: ConnectorCosts): number =>
  connector.part + (costs.labourPerHour.value * connector.replaceMinutes) / 60;

/** Prices of one connector's steps. */
export function pricesOf(subject: ConnectorCase, costs: Costs): Prices {
  const openWeek = meetsPerWeek(costs) * subject.lanes * costs.lostLane.value;
  return {
    clean: cleaningPrice(costs, subject.costs),
    replace: replacementPrice(costs, subject.costs),
    lowWeek: openWeek * subject.lossChance,
    openWeek,
    breakdown: (openWeek * costs.checkWeeks) / 2,
  };
}
