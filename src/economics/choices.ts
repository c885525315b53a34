import type { Costs, Practice } from "../domain/costs.ts";
import type { ConnectorPlace } from "../domain/decision.ts";
import { samePlace } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import type { ReadingRule } from "../policy/reading-rule.ts";
import { studyOf } from "./horizon.ts";
import { lifeCycleCost } from "./life-cycle.ts";
import type { OptionKind } from "./memo-options.ts";
import { asFlows, fittedPrice, type KeptGroup, optionYears } from "./option-flows.ts";
import type { Branch } from "./option-wear.ts";
import type { Keeping, Tracks } from "./track.ts";
import type { UpkeepGroup } from "./upkeep.ts";

/** An option as it is followed: what is bought, and how all connectors are kept. */
export interface Choice {
  readonly id: string;
  readonly kind: OptionKind;
  readonly label: string;
  /** Bought by the option, now or phase by phase. */
  readonly replaced: readonly ConnectorPlace[];
  /** Every group, with whatever tracks; an assumption moves the tracks and not the choice. */
  readonly kept: (groups: readonly UpkeepGroup[], tracks: Tracks) => readonly KeptGroup[];
}

/** Years that a class is replaced over, in equal parts. */
const PHASES = 3;

const planOf = ({ first }: UpkeepGroup): Keeping => ({ first, rule: null });

/** All groups kept in one way. */
const keptBy =
  (keeping: (group: UpkeepGroup) => Keeping): Choice["kept"] =>
  (groups, tracks) =>
    groups.map((group) => ({
      group,
      branches: [{ share: 1, track: tracks.keep(group, keeping(group)), bought: null }],
    }));

/** The plan, but for places that are bought after so many years: null where never. */
const planBuying =
  (years: (place: ConnectorPlace) => number | null): Choice["kept"] =>
  (groups, tracks) =>
    groups.map((group) => {
      const counts = new Map<number | null, number>();
      for (const place of group.places) {
        const after = years(place);
        counts.set(after, (counts.get(after) ?? 0) + 1);
      }
      const branches = [...counts].map(
        ([after, count]): Branch => ({
          share: count / group.places.length,
          track: tracks.keep(group, planOf(group)),
          bought: after === null ? null : { track: tracks.replaceNow(group), afterYear: after },
        }),
      );
      return { group, branches };
    });

const isIn = (places: readonly ConnectorPlace[], place: ConnectorPlace): boolean =>
  places.some((each) => samePlace(each, place));

/** What `decide` recommends, walk after walk: the base of all comparisons. */
function thePlan(groups: readonly UpkeepGroup[]): Choice {
  const replaced = groups.filter(({ first }) => first === "replace");
  return {
    id: "plan",
    kind: "plan",
    label: "Follow the plan",
    replaced: replaced.flatMap(({ places }) => places),
    kept: keptBy(planOf),
  };
}

/** Present practice, as the pool file states it. */
const practised = (practice: Practice): Choice => {
  const rule: ReadingRule = {
    first: "clean",
    replaceUnder: null,
    leaveAfter: null,
    ...practice,
  };
  return {
    id: "present-practice",
    kind: "present-practice",
    label: "Go on as today",
    replaced: [],
    kept: keptBy(() => ({ first: "by-reading", rule })),
  };
};

/** Every suspect cleaned now; under the limit cleaned, and what a cleaning fails on replaced. */
function cleanThenReplace(pool: Pool): Choice | null {
  if (!("volts" in pool.limit)) return null;
  const rule: ReadingRule = {
    first: "clean",
    cleanUnder: pool.limit.volts,
    replaceUnder: null,
    replaceAfter: 1,
    leaveAfter: null,
    cleanEvery: null,
  };
  return {
    id: "clean-then-replace",
    kind: "clean-then-replace",
    label: "Clean, then replace what fails",
    replaced: [],
    kept: keptBy(({ suspect }) => ({ first: suspect ? "clean" : "wait", rule })),
  };
}

/** What the pool costs over the horizon under a choice [currency]. */
export function costOf(
  pool: Pool,
  groups: readonly UpkeepGroup[],
  tracks: Tracks,
  costs: Costs,
  quarters: number,
  { kept }: Pick<Choice, "kept">,
): number {
  return lifeCycleCost(
    asFlows(optionYears(pool, kept(groups, tracks), costs, quarters)),
    studyOf(costs),
  );
}

/**
 * The first n of the ranking that the plan does not replace anyway, n where they cost least; one at
 * least. They stand alone in their groups, as all suspects do, and the first of the ranking.
 */
function worst(
  groups: readonly UpkeepGroup[],
  costOfBuying: (n: Choice["kept"]) => number,
): Choice | null {
  const open = groups.filter(({ first, places }) => first !== "replace" && places.length === 1);
  const suspects = open.filter(({ suspect }) => suspect);
  const candidates = (suspects.length > 0 ? suspects : open.slice(0, 1)).flatMap(
    ({ places }) => places,
  );
  if (candidates.length === 0) return null;
  const buying = (n: number): Choice["kept"] =>
    planBuying((place) => (isIn(candidates.slice(0, n), place) ? 0 : null));
  let [count, least] = [1, Number.POSITIVE_INFINITY];
  for (let n = 1; n <= candidates.length; n++) {
    const cost = costOfBuying(buying(n));
    if (cost < least) [count, least] = [n, cost];
  }
  const label =
    count === 1 ? "Replace the worst connector" : `Replace the ${count} worst connectors`;
  return {
    id: "replace-worst",
    kind: "replace-worst",
    label,
    replaced: candidates.slice(0, count),
    kept: buying(count),
  };
}

/** Every class with a suspect and more than one connector: all now, and in yearly parts. */
function classes(pool: Pool, groups: readonly UpkeepGroup[]): readonly Choice[] {
  return pool.points.flatMap((point): Choice[] => {
    const name = pool.connectors.find((one) => one.point === point)?.name;
    const own = groups.filter(({ places }) => places[0]!.point === point);
    const all = own.flatMap(({ places }) => places);
    if (name === undefined || all.length < 2 || !own.some(({ suspect }) => suspect)) return [];
    const whole = name.endsWith("s") ? `all ${name}` : `every ${name}`;
    const yearOf = (place: ConnectorPlace): number | null => {
      const k = all.findIndex((each) => samePlace(each, place));
      return k < 0 ? null : Math.floor((k * PHASES) / all.length);
    };
    return [
      {
        id: `replace-class:${point}`,
        kind: "replace-class",
        label: `Replace ${whole}`,
        replaced: all,
        kept: planBuying((place) => (isIn(all, place) ? 0 : null)),
      },
      {
        id: `phased:${point}`,
        kind: "phased",
        label: `Replace ${whole} over ${PHASES} years`,
        replaced: all,
        kept: planBuying(yearOf),
      },
    ];
  });
}

/** Every option, the plan first. */
export function choicesOf(
  pool: Pool,
  groups: readonly UpkeepGroup[],
  costs: Costs,
  tracks: Tracks,
  quarters: number,
): readonly Choice[] {
  const others = [
    costs.practice === null ? null : practised(costs.practice),
    cleanThenReplace(pool),
    worst(groups, (kept) => costOf(pool, groups, tracks, costs, quarters, { kept })),
    ...classes(pool, groups),
  ];
  return [thePlan(groups), ...others.filter((each) => each !== null)];
}

/** Money for what an option buys: parts and labour [currency]. */
export const requestOf = (
  { replaced }: Choice,
  groups: readonly UpkeepGroup[],
  costs: Costs,
): number =>
  replaced.reduce((sum, place) => {
    const group = groups.find(({ places }) => isIn(places, place))!;
    return sum + fittedPrice(group, costs);
  }, 0);
