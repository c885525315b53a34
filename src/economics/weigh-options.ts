import { type Costs, costsOf } from "../domain/costs.ts";
import type { WalkDiagnosis } from "../domain/findings.ts";
import { samePlace } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import { type DecideInput, openDesk } from "../policy/desk.ts";
import type { Season } from "../season/open-season.ts";
import { type Choice, choicesOf, requestOf } from "./choices.ts";
import { quartersOf, studyOf } from "./horizon.ts";
import { annualValue, compareOptions, lifeCycleCost } from "./life-cycle.ts";
import type { MemoOption, MemoOptions } from "./memo-options.ts";
import { MovedAssumptions } from "./move-assumptions.ts";
import { asFlows, type KeptGroup, lostLanesAYear, optionYears } from "./option-flows.ts";
import type { OptionsBase } from "./option-parts.ts";
import { Tracks } from "./track.ts";
import type { UpkeepGroup } from "./upkeep.ts";
import { upkeepGroups } from "./upkeep-groups.ts";

/** An option before its chance is weighed, which takes most of a memo's time. */
type FollowedOption = Omit<MemoOption, "chanceSaves">;

/** An option in numbers, all but what depends on others. */
function optionOf(
  { pool, costs, groups }: OptionsBase,
  choice: Choice,
  kept: readonly KeptGroup[],
): Omit<FollowedOption, "comparison"> {
  const cashFlow = optionYears(pool, kept, costs, quartersOf(costs));
  const study = studyOf(costs);
  const present = lifeCycleCost(asFlows(cashFlow), study);
  return {
    id: choice.id,
    kind: choice.kind,
    label: choice.label,
    replaced: choice.replaced,
    request: requestOf(choice, groups, costs),
    cashFlow,
    lifeCycleCost: present,
    annualCost: annualValue(present, study),
    lostLanes: lostLanesAYear(pool, kept, costs, quartersOf(costs)),
  };
}

/** Something that the plan decides otherwise is never asked for: memo and `decide` are one answer. */
const contradicts = (groups: readonly UpkeepGroup[], { replaced }: FollowedOption): boolean =>
  groups.some(
    ({ suspect, first, places }) =>
      suspect &&
      first !== "replace" &&
      places.some((place) => replaced.some((each) => samePlace(each, place))),
  );

/** What money may be asked for, were it likely enough to save; what costs least first. */
export const worthAsking = <Option extends FollowedOption>(
  groups: readonly UpkeepGroup[],
  options: readonly Option[],
): readonly Option[] =>
  options
    .filter(
      (option) =>
        option.replaced.length > 0 &&
        (option.comparison?.netSavings ?? 0) > 0 &&
        !contradicts(groups, option),
    )
    .toSorted((a, b) => a.lifeCycleCost - b.lifeCycleCost);

/** The option that money is asked for: what saves most, likelier than not; null: none does. */
const requestedOf = (
  groups: readonly UpkeepGroup[],
  options: readonly MemoOption[],
): string | null =>
  worthAsking(groups, options).find(({ chanceSaves }) => (chanceSaves ?? 0) >= 0.5)?.id ?? null;

/** Every option followed at the assumed values, the plan first; the rest of a memo varies those. */
export function followOptions({ pool, walk, trend, costs }: DecideInput): {
  readonly base: OptionsBase;
  readonly options: readonly FollowedOption[];
} {
  if (walk.connectors.length === 0) throw new Error("a walk without connectors has no options");
  const groups = upkeepGroups(openDesk({ pool, walk, trend, costs }));
  const quarters = quartersOf(costs);
  const tracks = new Tracks(costs.checkWeeks, quarters);
  const choices = choicesOf(pool, groups, costs, tracks, quarters);
  const kept = choices.map((choice) => choice.kept(groups, tracks));
  const base: OptionsBase = { pool, costs, groups, choices, kept };
  const bare = choices.map((choice, k) => optionOf(base, choice, kept[k]!));
  const [plan] = bare;
  const options = bare.map((option, k) => ({
    ...option,
    comparison:
      k === 0
        ? null
        : compareOptions(asFlows(plan!.cashFlow), asFlows(option.cashFlow), studyOf(costs)),
  }));
  return { base, options };
}

/**
 * The pool as a whole over the horizon: the plan that `decide` recommends, walk after walk, and what
 * else may be done, each against the plan. Amounts come from following the plan's own rules by what
 * is read; every connector that the walk's circuits pass is in it.
 * Throws where the walk has no connector.
 */
export function weighOptions(
  pool: Pool,
  walk: WalkDiagnosis,
  trend: DecideInput["trend"],
  costs: Costs = costsOf(pool),
): MemoOptions {
  const { base, options: followedOptions } = followOptions({ pool, walk, trend, costs });
  const moved = new MovedAssumptions(base);
  const chances = moved.chancesToSave();
  const options = followedOptions.map(
    (option, k): MemoOption => ({ ...option, chanceSaves: k === 0 ? null : chances[k]! }),
  );
  const others = options.slice(1);
  const followed = others.toSorted((a, b) => a.lifeCycleCost - b.lifeCycleCost)[0] ?? options[0]!;
  return {
    currency: costs.currency,
    discountRate: costs.discountRate.value,
    horizonYears: studyOf(costs).years,
    timing: "end-of-year",
    options,
    requested: requestedOf(base.groups, options),
    followed: followed.id,
    sensitivity: moved.oneByOne(options.findIndex(({ id }) => id === followed.id)),
  };
}

/** The same of a season's latest walk, unless it was asked before. Throws where it has no connector. */
export const weighSeason = (
  { pool, latest, trend, ask }: Season,
  costs: Costs = costsOf(pool),
): MemoOptions => ask("options", [costs], () => weighOptions(pool, latest.diagnosis, trend, costs));
