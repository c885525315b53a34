import { normalCdfFast } from "../numerics/normal-table.ts";
import { WEEKS_PER_YEAR } from "../policy/week-grid.ts";

/** Where the contact's resistance makes its path read low, and how it scatters. */
export interface LowLimit {
  /** ln ohms at which the path reads low. */
  readonly logOhms: number;
  /** Spread of ln ohms from one meet to the next. */
  readonly scatter: number;
}

/** P(the path reads low) at a level of ln ohms; infinite for an open contact. */
export const lowChance = (level: number, limit: LowLimit): number =>
  normalCdfFast((level - limit.logOhms) / limit.scatter);

/** Film does not go away by itself: where the records leave room for a fall, there is no growth. */
export const onlyGrowing = (growthPerWeek: number): number => Math.max(0, growthPerWeek);

/** P(low) of a cured contact: by calendar year (the floor creeps) and weeks since its cure. */
export interface CuredTable {
  /** `values[year * stride + weeks since the cure]`. */
  readonly values: Float64Array;
  readonly stride: number;
}

/** Such a table with what it was made from. */
export interface GrowingTable extends CuredTable {
  readonly floor: { readonly logOhms: number; readonly creepPerYear: number };
  readonly growthPerWeek: number;
  readonly limit: LowLimit;
}

/**
 * Tabulates P(low) after a cure: `ln r = ln floor + creep * year + growth * weeks since the cure`,
 * the floor stepping up once a year.
 */
export function curedTable(
  floor: GrowingTable["floor"],
  growthPerWeek: number,
  limit: LowLimit,
  weeks: number,
): GrowingTable {
  const years = Math.floor(weeks / WEEKS_PER_YEAR) + 1;
  const stride = weeks + 1;
  const values = new Float64Array(years * stride);
  for (let year = 0; year < years; year += 1) {
    const start = floor.logOhms + floor.creepPerYear * year;
    for (let age = 0; age < stride; age += 1)
      values[year * stride + age] = lowChance(start + growthPerWeek * age, limit);
  }
  return { values, stride, floor, growthPerWeek, limit };
}

/** P(over another level than the limit) of the same contact, at the same times. */
export const tableOver = (table: GrowingTable, logOhms: number): CuredTable =>
  logOhms === table.limit.logOhms
    ? table
    : curedTable(table.floor, table.growthPerWeek, { ...table.limit, logOhms }, table.stride - 1);

/** P(low) week by week of a contact that nothing cures, from its level now. */
export function uncuredLine(
  level: number,
  growthPerWeek: number,
  limit: LowLimit,
  weeks: number,
): Float64Array {
  const low = new Float64Array(weeks + 1);
  for (let week = 0; week <= weeks; week += 1)
    low[week] = lowChance(level + growthPerWeek * week, limit);
  return low;
}
