import { normalCdf } from "../numerics/normal.ts";
import { type Life, survivalBeyond } from "./age-replacement.ts";
import { type ContactLaw, grownLevel, type StepPrices } from "./contact-law.ts";
import {
  type GridPlace,
  type LevelGrid,
  levelGrid,
  type Nodes,
  placeOn,
  usualNodes,
} from "./level-grid.ts";

/**
 * One contact as a Markov chain from check to check. Its states, for each age of the connector's
 * body, mode after mode:
 *
 *     each level, kind after kind | open | open for good | intermittent | so for good
 *
 * "for good": no cleaning mends it. Whether trouble is film or oxide is never seen, only what
 * cleanings did; so a kind is a chance o of oxide, and a cleaning that fails moves it, by Bayes, to
 * `o / (o + (1 - o)(1 - cure))`. Were the kind itself a state, a policy that averages over states
 * would wait for ever to be told.
 */
export interface ContactChain {
  readonly law: ContactLaw;
  /** Weeks from one check to the next. */
  readonly weeks: number;
  /** Levels of every mode. */
  readonly grids: readonly LevelGrid[];
  readonly blocks: readonly ModeBlock[];
  readonly kinds: Kinds;
  /** States of one age. */
  readonly size: number;
  /** Ages that are told apart [weeks], the first 0. */
  readonly ages: readonly number[];
  /** P(one check on, the body counts as of the next age). */
  readonly ageing: readonly number[];
  /** P(the body breaks before the next check), by age. */
  readonly breaking: readonly number[];
  /** A new contact: states of age 0 and their chances. */
  readonly fresh: readonly Entry[];
}

/** The chances of oxide that are told apart. */
export interface Kinds {
  /** Ascending, from 0 to 1. */
  readonly oxide: readonly number[];
  /** Index of a new contact's. */
  readonly fresh: number;
  /** Where each goes when a cleaning failed. */
  readonly failed: readonly GridPlace[];
}

/** A state and its chance. */
export interface Entry {
  readonly state: number;
  readonly weight: number;
}

/** Where one mode's states stand and where they go. */
export interface ModeBlock {
  readonly levels: LevelGrid;
  /** First state: the least level of the first kind. */
  readonly start: number;
  /** Open and mendable; the next state is open for good. */
  readonly open: number;
  /** The same two of a contact that comes and goes. */
  readonly intermittent: number;
  /** Where growth brings each level by the next check: node and part of the next. */
  readonly next: Moves;
  /** The same for each rise of a storm. */
  readonly risen: readonly { readonly weight: number; readonly to: Moves }[];
  /** At the floor, and fouled at a stroke: states of the first kind. */
  readonly floor: readonly Entry[];
  readonly fouled: readonly Entry[];
}

/** For each level: `(1 - part)` goes to `index`, `part` to the next. */
export interface Moves {
  readonly index: Int32Array;
  readonly part: Float64Array;
}

/** Ages that are told apart, as shares of the life's scale: judgement, even in what breaks. */
const AGES = [0, 0.4, 0.75, 1.2] as const;

/** A state of the first kind, as one of another kind. */
export const ofKind = (block: ModeBlock, state: number, kind: number): number =>
  state + kind * block.levels.length;

/** Chance of oxide after a cleaning that failed. */
export const oxideAfterFailure = (oxide: number, cure: number): number =>
  oxide === 0 ? 0 : oxide / (oxide + (1 - oxide) * (1 - cure));

/** No oxide, as new, after one failure, and oxide for certain. */
function kindsOf({ oxide, cure }: ContactLaw): Kinds {
  const grid = [...new Set([0, oxide, oxideAfterFailure(oxide, cure), 1])].sort((a, b) => a - b);
  const nodes = Float64Array.from(grid);
  return {
    oxide: grid,
    fresh: grid.indexOf(oxide),
    failed: grid.map((each) => placeOn(nodes, oxideAfterFailure(each, cure))),
  };
}

const movesOf = (levels: LevelGrid, change: (level: number) => number): Moves => {
  const places = Array.from(levels, (level) => placeOn(levels, change(level)));
  return {
    index: Int32Array.from(places, ({ index }) => index),
    part: Float64Array.from(places, ({ part }) => part),
  };
};

/** Levels with weights, as states that begin at `start`. */
function entriesAt(levels: LevelGrid, start: number, nodes: ContactLaw["floor"]): readonly Entry[] {
  return nodes.flatMap(({ value, weight }) => {
    const { index, part } = placeOn(levels, value);
    return [
      { state: start + index, weight: weight * (1 - part) },
      { state: start + index + 1, weight: weight * part },
    ].filter((entry) => entry.weight > 0);
  });
}

function blockOf(
  law: ContactLaw,
  levels: LevelGrid,
  k: number,
  start: number,
  weeks: number,
  kinds: number,
): ModeBlock {
  const mode = law.modes[k]!;
  const grown = (level: number): number => grownLevel(mode, level, weeks);
  return {
    levels,
    start,
    open: start + kinds * levels.length,
    intermittent: start + kinds * levels.length + 2,
    next: movesOf(levels, grown),
    risen: law.steps.rises.map(({ value, weight }) => ({
      weight,
      to: movesOf(levels, (level) => grown(level) + value),
    })),
    floor: entriesAt(levels, start, law.floor),
    fouled: entriesAt(levels, start, law.fouled),
  };
}

/** P(the body breaks within so many weeks), at the mean hazard between an age and the next. */
function breakingAt(life: Life, age: number, next: number | undefined, weeks: number): number {
  if (next === undefined) return 1 - survivalBeyond(life, age, weeks);
  return 1 - survivalBeyond(life, age, next - age) ** (weeks / (next - age));
}

/** Grids of a law by interval and number of nodes, laid out once. */
const gridsOf = new WeakMap<ContactLaw, Map<string, readonly LevelGrid[]>>();

/** The levels of every mode for a check interval. */
export function levelGrids(
  law: ContactLaw,
  weeks: number,
  nodes: Nodes = usualNodes,
): readonly LevelGrid[] {
  const own = gridsOf.get(law) ?? new Map<string, readonly LevelGrid[]>();
  gridsOf.set(law, own);
  const key = `${weeks} ${nodes.most}`;
  const known = own.get(key) ?? law.modes.map((mode) => levelGrid(law, mode, weeks, nodes));
  own.set(key, known);
  return known;
}

/** Chains on grids by interval, laid out once. */
const chainsOf = new WeakMap<readonly LevelGrid[], Map<number, ContactChain>>();

/**
 * The chain of a law.
 *
 * @param weeks from one check to the next
 * @param grids levels of every mode; those that belong to the interval unless the caller needs others
 */
export function contactChain(
  law: ContactLaw,
  weeks: number,
  grids: readonly LevelGrid[] = levelGrids(law, weeks),
): ContactChain {
  const own = chainsOf.get(grids) ?? new Map<number, ContactChain>();
  chainsOf.set(grids, own);
  const known = own.get(weeks);
  if (known?.law === law) return known;
  const chain = layOut(law, weeks, grids);
  own.set(weeks, chain);
  return chain;
}

function layOut(law: ContactLaw, weeks: number, grids: readonly LevelGrid[]): ContactChain {
  const kinds = kindsOf(law);
  const blocks: ModeBlock[] = [];
  let size = 0;
  for (const [k, levels] of grids.entries()) {
    blocks.push(blockOf(law, levels, k, size, weeks, kinds.oxide.length));
    size += kinds.oxide.length * levels.length + 4;
  }
  const memoryless = law.life.shape === 1;
  const ages = memoryless ? [0] : AGES.map((share) => share * law.life.scale);
  return {
    law,
    weeks,
    grids,
    blocks,
    kinds,
    size,
    ages,
    ageing: ages.map((age, a) => {
      const next = ages[a + 1];
      return next === undefined ? 0 : Math.min(1, weeks / (next - age));
    }),
    breaking: ages.map((age, a) => breakingAt(law.life, age, ages[a + 1], weeks)),
    fresh: blocks.flatMap((block, k) =>
      block.floor.map(({ state, weight }) => ({
        state: ofKind(block, state, kinds.fresh),
        weight: weight * law.modes[k]!.weight,
      })),
    ),
  };
}

/** P(the path reads low) at a level. */
const lowAt = ({ limit }: ContactLaw, level: number): number =>
  normalCdf((level - limit.logOhms) / limit.scatter);

/** Weeks until the next check in which a state's path reads low, is open, comes and goes. */
export interface TroubleWeeks {
  readonly low: Float64Array;
  readonly open: Float64Array;
  readonly intermittent: Float64Array;
}

/** Trouble of each state of one age, by the trapezoid of the interval's two ends. */
export function troubleWeeks({ law, weeks, blocks, kinds, size }: ContactChain): TroubleWeeks {
  const [low, open, intermittent] = [0, 1, 2].map(() => new Float64Array(size)) as [
    Float64Array,
    Float64Array,
    Float64Array,
  ];
  for (const [k, block] of blocks.entries()) {
    for (const [j, level] of block.levels.entries()) {
      const end = grownLevel(law.modes[k]!, level, weeks);
      const share = (weeks * (lowAt(law, level) + lowAt(law, end))) / 2;
      for (const kind of kinds.oxide.keys()) low[ofKind(block, block.start + j, kind)] = share;
    }
    for (const forGood of [0, 1]) {
      open[block.open + forGood] = weeks;
      intermittent[block.intermittent + forGood] = weeks;
    }
  }
  return { low, open, intermittent };
}

/** What the trouble of each state costs until the next check [currency]. */
export function troubleCost(trouble: TroubleWeeks, prices: StepPrices): Float64Array {
  const { low, open, intermittent } = trouble;
  return low.map(
    (weeks, s) =>
      weeks * prices.lowWeek +
      open[s]! * prices.openWeek +
      intermittent[s]! * prices.intermittentWeek,
  );
}
