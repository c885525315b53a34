import type { ConnectorCosts, Costs } from "../domain/costs.ts";

/** Price of so many minutes' work [currency]. */
const labour = ({ labourPerHour }: Costs, minutes: number): number =>
  (labourPerHour.value * minutes) / 60;

/** Price of a look for a break [currency]. */
export const lookPrice = (costs: Costs): number => labour(costs, costs.lookMinutes);

/** Prices of cleaning a connector once and of replacing it, labour and part [currency]. */
export const workPrices = (
  costs: Costs,
  { part, cleanMinutes, replaceMinutes }: ConnectorCosts,
): { readonly clean: number; readonly replace: number } => ({
  clean: labour(costs, cleanMinutes),
  replace: part + labour(costs, replaceMinutes),
});
