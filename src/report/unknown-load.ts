import type { Pool } from "../domain/pool.ts";
import { UNIT_LOAD } from "../domain/pool.ts";

/** What every output says where nobody knows the meter's load. */
export const unknownLoad =
  "The meter's load is not known: the ranking stands, resistances are wide, and no circuit can be " +
  "called sound. One resistor of known value in front of the meter settles it (dropwise meter).";

/** The load that costs are reckoned with in place of one that nobody knows [Ω]; null where known. */
export const assumedLoadOhms = ({ meters }: Pool): number | null =>
  meters.every(({ loadOhms }) => loadOhms !== null) ? null : UNIT_LOAD;

/** One sentence beside every cost that rests on such a load; none where it is known. */
export function assumedLoadNote(pool: Pool): readonly string[] {
  const assumed = assumedLoadOhms(pool);
  if (assumed === null) return [];
  return [
    `The meter's load is not known: costs and courses are reckoned as if it were ${assumed} Ω. ` +
      "Measure it (dropwise meter) before money is spent.",
  ];
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
