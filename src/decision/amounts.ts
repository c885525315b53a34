import type { FreshConnector } from "./fresh-connector.ts";

/**
 * What a course is expected to take, week by week, in numbers of things: prices come later, so that
 * another price needs no new reckoning.
 */
export interface Amounts {
  readonly cleanings: Float64Array;
  /** Planned and after breakdowns. */
  readonly replacements: Float64Array;
  /** P(the path reads low because of this connector, not being open). */
  readonly low: Float64Array;
  /** P(it is open). */
  readonly open: Float64Array;
  readonly breakdowns: Float64Array;
}

export const emptyAmounts = (weeks: number): Amounts => ({
  cleanings: new Float64Array(weeks),
  replacements: new Float64Array(weeks),
  low: new Float64Array(weeks),
  open: new Float64Array(weeks),
  breakdowns: new Float64Array(weeks),
});

/** Less than this of a connector is not followed any further. */
const NEGLIGIBLE = 1e-12;

/** Adds the connectors fitted in each week, and all that follows each of them. */
export function addFitted(fresh: FreshConnector, fitted: Float64Array, amounts: Amounts): void {
  const weeks = amounts.low.length;
  for (let start = 0; start < weeks; start += 1) {
    const share = fitted[start] as number;
    if (share < NEGLIGIBLE) continue;
    amounts.replacements[start]! += share;
    for (const part of ["cleanings", "replacements", "low", "breakdowns"] as const) {
      const [to, from] = [amounts[part], fresh[part]];
      for (let week = start; week < weeks; week += 1)
        to[week]! += share * (from[week - start] as number);
    }
  }
}

/** Adds other amounts. */
export function addAmounts(amounts: Amounts, others: Amounts): void {
  for (const part of ["cleanings", "replacements", "low", "open", "breakdowns"] as const)
    for (const [week, value] of others[part].entries()) amounts[part][week]! += value;
}
