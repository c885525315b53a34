import type { Costs } from "../domain/costs.ts";
import type { WalkDiagnosis } from "../domain/findings.ts";
import { samePlace } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import { compareOptions } from "../economics/life-cycle.ts";
import type { PoolTrend } from "../history/trend.ts";
import { SUSPECT } from "../policy/decide.ts";
import type { ConnectorPlace, Decision } from "../policy/decision.ts";
import { weekGrid } from "../policy/week-grid.ts";
import { connectorCases, costsOf } from "./connector-cases.ts";
import type { BudgetStep, MemoOption, MemoOptions, OptionKind } from "./memo-options.ts";
import {
  asFlows,
  lanesKept,
  optionYears,
  poolUpkeep,
  presentCosts,
  type Upkeep,
} from "./pool-upkeep.ts";
import { replacementPrice } from "./prices.ts";
import { sensitivity } from "./sensitivity.ts";

/** An option before it is reckoned. */
interface Choice {
  readonly id: string;
  readonly kind: OptionKind;
  readonly label: string;
  readonly replaced: readonly Upkeep[];
}

/** Steps of the budget's curve, at most, and the least gain in lanes that makes a step. */
const MOST_STEPS = 12;
const LEAST_GAIN = 1e-3;

/**
 * The first n of the ranking, n where net savings are greatest; one at least. What was worked on
 * since the walk is not asked for on the old reading.
 */
function worst(
  upkeep: readonly Upkeep[],
  costs: Costs,
  replaces: (place: ConnectorPlace) => boolean,
): Choice {
  const nothing: ReadonlySet<Upkeep> = new Set();
  const known = upkeep.filter(({ subject }) => subject.workSince === null);
  const all = known.filter(({ subject }) => subject.atFault >= SUSPECT);
  const decided = all.filter(({ subject }) => replaces(subject.place));
  const suspects = decided.length > 0 ? decided : all;
  const candidates =
    suspects.length > 0 ? suspects : (known.length > 0 ? known : upkeep).slice(0, 1);
  const saved = candidates.map((each) => {
    const cost = (replaced: ReadonlySet<Upkeep>): number =>
      presentCosts(optionYears([each], replaced, costs), costs).lifeCycleCost;
    return cost(nothing) - cost(new Set([each]));
  });
  let [count, sum, best] = [1, 0, Number.NEGATIVE_INFINITY];
  for (const [k, saving] of saved.entries()) {
    sum += saving;
    if (sum > best) [count, best] = [k + 1, sum];
  }
  const label =
    count === 1 ? "Replace the worst connector" : `Replace the ${count} worst connectors`;
  return {
    id: "replace-worst",
    kind: "replace-worst",
    label,
    replaced: candidates.slice(0, count),
  };
}

/** Every class that has a suspect and more than one connector. */
function classes(pool: Pool, upkeep: readonly Upkeep[]): readonly Choice[] {
  return pool.points.flatMap((point) => {
    const here = pool.connectors.filter((one) => one.point === point);
    const connector = [...new Set(here.map(({ name }) => name))].join(", ");
    const all = upkeep.filter(({ subject }) => subject.place.point === point);
    if (all.length < 2 || !all.some(({ subject }) => subject.atFault >= SUSPECT)) return [];
    return [
      {
        id: `replace-class:${point}`,
        kind: "replace-class" as const,
        label: connector.endsWith("s") ? `Replace all ${connector}` : `Replace every ${connector}`,
        replaced: all,
      },
    ];
  });
}

const requestOf = (replaced: readonly Upkeep[], costs: Costs): number =>
  replaced.reduce((sum, { subject }) => sum + replacementPrice(costs, subject.costs), 0);

function optionOf(
  choice: Choice,
  pool: Pool,
  upkeep: readonly Upkeep[],
  costs: Costs,
  base: MemoOption | null,
): MemoOption {
  const replaced = new Set(choice.replaced);
  const cashFlow = optionYears(upkeep, replaced, costs);
  const grid = weekGrid(costs.horizonYears.value, costs.discountRate.value);
  return {
    id: choice.id,
    kind: choice.kind,
    label: choice.label,
    replaced: choice.replaced.map(({ subject }) => subject.place),
    request: requestOf(choice.replaced, costs),
    cashFlow,
    ...presentCosts(cashFlow, costs),
    comparison:
      base === null ? null : compareOptions(asFlows(base.cashFlow), asFlows(cashFlow), grid.study),
    lanesKept: lanesKept(upkeep, replaced, pool, grid),
  };
}

/** One replacement after another, each the one that keeps the most lanes for its money. */
function budgetOf(pool: Pool, upkeep: readonly Upkeep[], costs: Costs): readonly BudgetStep[] {
  const grid = weekGrid(costs.horizonYears.value, costs.discountRate.value);
  const kept = (replaced: ReadonlySet<Upkeep>): number => lanesKept(upkeep, replaced, pool, grid);
  const costOf = (replaced: ReadonlySet<Upkeep>): number =>
    presentCosts(optionYears(upkeep, replaced, costs), costs).lifeCycleCost;
  const chosen = new Set<Upkeep>();
  const steps: BudgetStep[] = [
    { spent: 0, replaced: null, lanesKept: kept(chosen), lifeCycleCost: costOf(chosen) },
  ];
  for (let step = 1; step <= MOST_STEPS; step += 1) {
    const before = steps.at(-1) as BudgetStep;
    const offers = upkeep
      .filter((each) => !chosen.has(each))
      .map((each) => {
        const gain = kept(new Set([...chosen, each])) - before.lanesKept;
        return { each, gain, worth: gain / requestOf([each], costs) };
      });
    const best = offers.reduce<(typeof offers)[number] | null>(
      (top, offer) => (top === null || offer.worth > top.worth ? offer : top),
      null,
    );
    if (best === null || best.gain < LEAST_GAIN) break;
    chosen.add(best.each);
    steps.push({
      spent: before.spent + requestOf([best.each], costs),
      replaced: best.each.subject.place,
      lanesKept: kept(chosen),
      lifeCycleCost: costOf(chosen),
    });
  }
  return steps;
}

/**
 * The pool as a whole: keep cleaning, replace the worst, replace a class; what each costs over the
 * horizon, how that moves with each assumption, and what a budget buys. Every connector that the
 * walk's circuits pass is in it, each kept by its own cheapest plan until it is replaced. Preferred
 * is the cheapest of the options that replace only what the walk's decisions replace.
 */
export function weighOptions(
  pool: Pool,
  walk: WalkDiagnosis,
  trend: PoolTrend | null,
  decisions: readonly Decision[],
  costs: Costs = costsOf(pool),
): MemoOptions {
  if (walk.connectors.length === 0) throw new Error("a walk without connectors has no options");
  // Nothing is asked for that a decision would not replace: the memo and decide are one answer.
  const replaces = (place: ConnectorPlace): boolean =>
    decisions.some((each) => each.action === "replace" && samePlace(each.place, place));
  const upkeep = poolUpkeep(connectorCases(pool, walk, trend, costs), costs);
  const keep: Choice = {
    id: "keep-cleaning",
    kind: "keep-cleaning",
    label: "Keep cleaning",
    replaced: [],
  };
  const choices = [keep, worst(upkeep, costs, replaces), ...classes(pool, upkeep)];
  const base = optionOf(keep, pool, upkeep, costs, null);
  const options = choices.map((choice) =>
    choice === keep ? base : optionOf(choice, pool, upkeep, costs, base),
  );
  const least = options
    .filter(({ replaced }) => replaced.every(replaces))
    .reduce((best, option) => (option.lifeCycleCost < best.lifeCycleCost ? option : best));
  const followed = least === base ? (options[1] ?? base) : least;
  return {
    currency: costs.currency,
    discountRate: costs.discountRate.value,
    horizonYears: weekGrid(costs.horizonYears.value, 0).study.years,
    timing: "end-of-year",
    lanes: pool.lanes.length,
    options,
    preferred: least.id,
    sensitivity: sensitivity({
      upkeep,
      costs,
      options: choices.map(({ id, replaced }) => ({ id, replaced: new Set(replaced) })),
      preferred: followed.id,
    }),
    budget: budgetOf(pool, upkeep, costs),
  };
}
