import type { Costs } from "../domain/costs.ts";
import type { WalkDiagnosis } from "../domain/findings.ts";
import { samePlace } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import { costsOf } from "../policy/decide.ts";
import { type DecideInput, openDesk } from "../policy/decide-walk.ts";
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

/** An option in numbers, all but what depends on others. */
function optionOf(
  { pool, costs, groups }: OptionsBase,
  choice: Choice,
  kept: readonly KeptGroup[],
): Omit<MemoOption, "comparison" | "chanceSaves"> {
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
const contradicts = (groups: readonly UpkeepGroup[], { replaced }: MemoOption): boolean =>
  groups.some(
    ({ suspect, first, places }) =>
      suspect &&
      first !== "replace" &&
      places.some((place) => replaced.some((each) => samePlace(each, place))),
  );

/** The option that money is asked for: what saves most, likelier than not; null: none does. */
function requestedOf(
  groups: readonly UpkeepGroup[],
  options: readonly MemoOption[],
): string | null {
  const worth = options.filter(
    (option) =>
      option.replaced.length > 0 &&
      (option.comparison?.netSavings ?? 0) > 0 &&
      (option.chanceSaves ?? 0) >= 0.5 &&
      !contradicts(groups, option),
  );
  const best = worth.toSorted((a, b) => a.lifeCycleCost - b.lifeCycleCost)[0];
  return best?.id ?? null;
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
  if (walk.connectors.length === 0) throw new Error("a walk without connectors has no options");
  const groups = upkeepGroups(openDesk({ pool, walk, trend, costs }));
  const quarters = quartersOf(costs);
  const tracks = new Tracks(costs.checkWeeks, quarters);
  const choices = choicesOf(pool, groups, costs, tracks, quarters);
  const kept = choices.map((choice) => choice.kept(groups, tracks));
  const base: OptionsBase = { pool, costs, groups, choices, kept };
  const bare = choices.map((choice, k) => optionOf(base, choice, kept[k]!));
  const moved = new MovedAssumptions(base);
  const chances = moved.chancesToSave();
  const [plan] = bare;
  const options = bare.map(
    (option, k): MemoOption => ({
      ...option,
      comparison:
        k === 0
          ? null
          : compareOptions(asFlows(plan!.cashFlow), asFlows(option.cashFlow), studyOf(costs)),
      chanceSaves: k === 0 ? null : chances[k]!,
    }),
  );
  const others = options.slice(1);
  const followed = others.toSorted((a, b) => a.lifeCycleCost - b.lifeCycleCost)[0] ?? plan!;
  return {
    currency: costs.currency,
    discountRate: costs.discountRate.value,
    horizonYears: studyOf(costs).years,
    timing: "end-of-year",
    options,
    requested: requestedOf(groups, options),
    followed: followed.id,
    sensitivity: moved.oneByOne(options.findIndex(({ id }) => id === followed.id)),
  };
}
