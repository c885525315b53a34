import type { Pool } from "../domain/pool.ts";
import { UNIT_LOAD } from "../domain/pool.ts";
import { english } from "../words/english.ts";

/** What every output says where nobody knows the meter's load, in English. */
export const { unknownLoad } = english.check;
/** The load that costs are reckoned with in place of one that nobody knows [Ω]; null where known. */
export const assumedLoadOhms = ({ meters }: Pool): number | null =>
  meters.every(({ loadOhms }) => loadOhms !== null) ? null : UNIT_LOAD;

/** One sentence beside every cost that rests on such a load; none where it is known. */
export function assumedLoadNote(pool: Pool): readonly string[] {
  const assumed = assumedLoadOhms(pool);
  if (assumed === null) return [];
  return [english.decide.assumedLoad(assumed)];
}

/** The same of a trend: what growth, resistances and days rest on. */
export function assumedLoadTrendNote(pool: Pool): readonly string[] {
  const assumed = assumedLoadOhms(pool);
  if (assumed === null) return [];
  return [
    `The meter's load is not known: resistances, growth and dates are reckoned as if it were ${assumed} Ω, ` +
      "and are wrong by as much as that is. Measure it (dropwise meter).",
  ];
}
