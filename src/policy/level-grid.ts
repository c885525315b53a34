import { type ContactLaw, type GrowthMode, grownLevel } from "./contact-law.ts";

/**
 * The levels that a mode of growth is followed on [ln Ω, ascending]: the mode's own path from the
 * least level up, one node a check interval, so that growth moves from node to node and nothing is
 * smeared. Where that takes too many nodes the interval between them is a multiple of it, and where
 * it takes too few a fraction.
 */
export type LevelGrid = Float64Array;

/** Nodes of a mode that grows, at least and at most, and of one that does not. */
export interface Nodes {
  readonly fewest: number;
  readonly most: number;
  readonly flat: number;
}
export const usualNodes: Nodes = { fewest: 20, most: 40, flat: 20 };
/** Half of them, where nothing but ratios is wanted. */
export const roughNodes: Nodes = { fewest: 10, most: 20, flat: 10 };
/** How far over the limit a level still counts as one more, in ln ohms. */
const OVER_LIMIT = 1;
/** Scatters over the limit that must lie on the grid: there a path is low for certain. */
const CERTAIN = 3;

/** Least and greatest level that are told apart. */
function reachOf({ floor, limit }: ContactLaw): readonly [low: number, high: number] {
  const low = Math.min(...floor.map(({ value }) => value));
  return [low, limit.logOhms + Math.max(OVER_LIMIT, CERTAIN * limit.scatter)];
}

/** Weeks of growth from one level to another. */
function weeksBetween({ kind, rate }: GrowthMode, low: number, high: number): number {
  if (kind === "log") return (high - low) / rate;
  return (Math.exp(high) - Math.exp(low)) / rate;
}

/** The levels of one mode. `weeks`: from one check to the next. */
export function levelGrid(
  law: ContactLaw,
  mode: GrowthMode,
  weeks: number,
  { fewest, most, flat }: Nodes = usualNodes,
): LevelGrid {
  const [low, high] = reachOf(law);
  if (mode.kind === "flat" || mode.rate <= 0)
    return Float64Array.from({ length: flat }, (_, k) => low + ((high - low) * k) / (flat - 1));
  const whole = weeksBetween(mode, low, high);
  const checks = whole / weeks;
  const spacing =
    checks > most ? whole / most : checks < fewest ? weeks / Math.ceil(fewest / checks) : weeks;
  const nodes = Math.max(2, Math.ceil(whole / spacing - 1e-9) + 1);
  return Float64Array.from({ length: nodes }, (_, k) => grownLevel(mode, low, k * spacing));
}

/** A place between two nodes: `(1 - part)` of node `index`, `part` of the next. */
export interface GridPlace {
  readonly index: number;
  readonly part: number;
}

/** Where a level stands; beyond either end it is the end. */
export function placeOn(grid: ArrayLike<number>, level: number): GridPlace {
  const last = grid.length - 1;
  if (level <= grid[0]!) return { index: 0, part: 0 };
  if (level >= grid[last]!) return { index: last - 1, part: 1 };
  let [low, high] = [0, last];
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (grid[middle]! <= level) low = middle;
    else high = middle;
  }
  return { index: low, part: (level - grid[low]!) / (grid[high]! - grid[low]!) };
}
