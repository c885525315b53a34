import type { Costs } from "../domain/costs.ts";
import type { Pool } from "../domain/pool.ts";
import type { Assumption } from "./assumptions.ts";
import type { Choice } from "./choices.ts";
import { quartersOf, studyOf } from "./horizon.ts";
import { discountFactor } from "./life-cycle.ts";
import { type KeptGroup, optionYears } from "./option-flows.ts";
import { Tracks } from "./track.ts";
import type { UpkeepGroup } from "./upkeep.ts";

/** Present value of what an option's life-cycle cost is made of [currency]. */
export interface Parts {
  readonly replacing: number;
  readonly renewing: number;
  readonly cleaning: number;
  readonly lostLanes: number;
}

export const partKeys = ["replacing", "renewing", "cleaning", "lostLanes"] as const;

/** Sum of the parts: the life-cycle cost [currency]. */
export const wholeOf = (parts: Parts): number => partKeys.reduce((sum, key) => sum + parts[key], 0);

/** What all options are reckoned in. */
export interface OptionsBase {
  readonly pool: Pool;
  readonly costs: Costs;
  readonly groups: readonly UpkeepGroup[];
  readonly choices: readonly Choice[];
  /** How each choice keeps every group, in the order of the choices. */
  readonly kept: readonly (readonly KeptGroup[])[];
}

/** Parts of each option at some prices. */
export function partsAt(
  { pool, kept }: Pick<OptionsBase, "pool" | "kept">,
  costs: Costs,
  change: (group: UpkeepGroup) => UpkeepGroup = (group) => group,
): readonly Parts[] {
  const study = studyOf(costs);
  return kept.map((groups) => {
    const years = optionYears(pool, groups, costs, quartersOf(costs), change);
    const part = (key: (typeof partKeys)[number]): number =>
      years.reduce((sum, row) => sum + row[key] * discountFactor(study, row.year), 0);
    return {
      replacing: part("replacing"),
      renewing: part("renewing"),
      cleaning: part("cleaning"),
      lostLanes: part("lostLanes"),
    };
  });
}

/** Weeks between walks at which a moved course is followed at least: its ratio to the unmoved counts. */
const COARSE_WEEKS = 4;

/** Weeks between the walks of a rough following. */
export const roughWeeks = ({ checkWeeks }: Costs): number => Math.max(COARSE_WEEKS, checkWeeks);

/** How the parts of each option change, as ratios, when a figure of the course is at each end. */
export interface CourseRatios {
  readonly low: readonly Parts[];
  readonly high: readonly Parts[];
}

const ratio = (to: number, from: number): number => (from > 0 && to > 0 ? to / from : 1);

/**
 * Ratios of one figure of the course: everything followed anew at each end, roughly, on walks that are
 * at least four weeks apart, beside the same unmoved; the interval between walks itself at its own.
 */
export function courseRatios(
  base: OptionsBase,
  { moves, value, low, high }: Assumption,
  unmoved: { readonly finely: readonly Parts[]; readonly roughly: readonly Parts[] },
): CourseRatios | null {
  if (moves.what !== "course") return null;
  const own = base.costs.checkWeeks;
  const roughly = moves.weeks === undefined;
  const weeksAt = (end: number): number => moves.weeks?.(own, end) ?? roughWeeks(base.costs);
  const from = roughly ? unmoved.roughly : unmoved.finely;
  const at = (end: number): readonly Parts[] => {
    if (end === value) return from.map(() => ones);
    const groups = base.groups.map((group) => moves.groups(group, end));
    return followedAt(base, groups, weeksAt(end), roughly).map((to, k) => ({
      replacing: 1,
      renewing: ratio(to.renewing, from[k]!.renewing),
      cleaning: ratio(to.cleaning, from[k]!.cleaning),
      lostLanes: ratio(to.lostLanes, from[k]!.lostLanes),
    }));
  };
  return { low: at(low), high: at(high) };
}

const ones: Parts = { replacing: 1, renewing: 1, cleaning: 1, lostLanes: 1 };

/** Parts of each option where groups are followed anew. */
export function followedAt(
  { pool, costs, choices }: Pick<OptionsBase, "pool" | "costs" | "choices">,
  groups: readonly UpkeepGroup[],
  weeks: number,
  roughly: boolean,
): readonly Parts[] {
  const tracks = new Tracks(weeks, quartersOf(costs), roughly);
  return partsAt({ pool, kept: choices.map(({ kept }) => kept(groups, tracks)) }, costs);
}
