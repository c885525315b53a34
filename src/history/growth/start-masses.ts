import type { StartMasses } from "./contact-filter.ts";
import { grownSinceUnknown, growthRows } from "./growth-rows.ts";
import { NODES, normalMasses } from "./level-grid.ts";
import type { SeasonData } from "./season-data.ts";

/** Mean weeks from the last cleaning to a first walk that nobody knows the history of. Judgement. */
export const WEEKS_BEFORE = 26;

/** Share of floors that are no floors at all, anywhere on the grid. */
const STRAY = 0.01;

/** What contacts start from: just cleaned, or at a first walk. */
export function startMasses({
  floor,
  fouled,
  strokes,
}: Pick<SeasonData, "floor" | "fouled" | "strokes">): StartMasses {
  const sound = normalMasses(floor.mean, floor.sd);
  const clean = sound.map((mass) => (1 - STRAY) * mass + STRAY / NODES);
  const bad = normalMasses(fouled.mean, fouled.sd);
  const mixed = clean.map((mass, i) => (1 - fouled.chance) * mass + fouled.chance * bad[i]!);
  const unknown = new Float64Array(growthRows.length * NODES);
  growthRows.forEach((row, r) => {
    grownSinceUnknown(row, mixed, WEEKS_BEFORE, unknown, r * NODES);
  });
  const struck = new Float64Array(NODES);
  for (const { share, mean, sd } of strokes.levels)
    for (const [i, mass] of normalMasses(mean, sd).entries()) struck[i]! += share * mass;
  return { unknown, floor: clean, struck };
}
