import { type FlatHistory, pullOfPrior } from "./flat-history.ts";
import {
  type Arrowhead,
  assemble,
  type ClassPrior,
  growthAlone,
  type LinePoint,
} from "./line-posterior.ts";

/**
 * One contact's line: ln ohms = level of the segment + growth * weeks since the segment began.
 *
 * One growth for the contact, one level for each segment. Growth is integrated over on a grid, since
 * bounds make its posterior lopsided; at each of its values the levels are taken as normal about
 * their top (nested Laplace approximation).
 */
export interface ContactFit {
  /** Posterior mean [ln ohm a week]. */
  readonly growth: number;
  readonly growthVariance: number;
  /** What the contact's own observations add to the class's prior; infinite variance: nothing. */
  readonly ownGrowth: number;
  readonly ownVariance: number;
  readonly levels: readonly SegmentLevel[];
  readonly grid: GrowthGrid;
}

/** Where one segment began. */
export interface SegmentLevel {
  /** ln ohms at the segment's first day. */
  readonly level: number;
  readonly levelVariance: number;
  /** Covariance of level and growth. */
  readonly covariance: number;
  /** Level and variance without the level's prior; infinite variance: nothing was seen of it. */
  readonly ownLevel: number;
  readonly ownVariance: number;
}

/** Posterior of growth, value by value, with the last segment's level given each. */
export interface GrowthGrid {
  /** Ascending, evenly spaced [ln ohm a week]. */
  readonly growth: Float64Array;
  /** Probability of the cell about each value; sums to 1. */
  readonly share: Float64Array;
  readonly lastLevel: Float64Array;
  readonly lastLevelVariance: Float64Array;
}

/**
 * First guesses, since the posterior may have several tops: that segments with resolved values began
 * high and grew as their class does, that all began sound and grew fast enough to get there, or that
 * they began sound and what was resolved is wild.
 */
function starts(flat: FlatHistory, prior: ClassPrior): readonly LinePoint[] {
  const sound = flat.priors.map((parts) => parts[0].mean);
  const sums = new Float64Array(sound.length);
  const counts = new Float64Array(sound.length);
  let [rise, run] = [0, 0];
  for (let j = 0; j < flat.weeks.length; j++) {
    if (flat.low[j]! !== flat.high[j]!) continue;
    const s = flat.segment[j]!;
    sums[s]! += flat.low[j]! - prior.growth * flat.weeks[j]!;
    counts[s]! += 1;
    rise += (flat.low[j]! - sound[s]!) * flat.weeks[j]!;
    run += flat.weeks[j]! ** 2;
  }
  const high = sound.map((level, s) => (counts[s]! > 0 ? sums[s]! / counts[s]! : level));
  const pointAt = (growth: number, levels: readonly number[]): LinePoint => ({
    growth,
    levels: Float64Array.from(levels),
  });
  const fromHigh = pointAt(prior.growth, high);
  const asSound = pointAt(prior.growth, sound);
  return run === 0 ? [fromHigh] : [fromHigh, pointAt(rise / run, sound), asSound];
}

/** The top need not be sharp: what follows integrates about it. */
const MAX_STEPS = 25;
const clamp = (step: number, most: number): number => Math.max(-most, Math.min(most, step));

/**
 * Climbs from `at` to the top of the posterior and leaves `at` there, by Newton steps whose
 * curvature bounds each mixture from below (EM), so that they climb.
 */
export function climb(flat: FlatHistory, prior: ClassPrior, at: LinePoint): void {
  for (let iteration = 0; iteration < MAX_STEPS; iteration++) {
    const sum = assemble(flat, prior, at, "grip");
    const { pull, grip } = growthAlone(sum);
    const step = clamp(pull / grip, 0.5);
    at.growth += step;
    const moved = moveLevels(sum, at, step);
    if (Math.max(10 * Math.abs(step), moved) < 0.01) break;
  }
}

/** Moves every level to its best for a growth that has moved by `step`; returns the largest move. */
function moveLevels(sum: Arrowhead, at: LinePoint, step: number): number {
  let largest = 0;
  for (let s = 0; s < at.levels.length; s++) {
    const move = clamp((sum.levelPull[s]! - sum.cross[s]! * step) / sum.levelGrip[s]!, 2);
    at.levels[s]! += move;
    largest = Math.max(largest, Math.abs(move));
  }
  return largest;
}

/** ln of the mass of the levels at one growth: height of the top, times its width. */
const massAt = ({ value, levelGrip }: Arrowhead): number =>
  levelGrip.reduce((sum, grip) => sum - 0.5 * Math.log(grip), value);

/** The best top of one contact's posterior, looked for from the first guesses. */
export function findTop(flat: FlatHistory, prior: ClassPrior): LinePoint {
  let best: LinePoint | null = null;
  let most = -Infinity;
  for (const at of starts(flat, prior)) {
    climb(flat, prior, at);
    const sum = assemble(flat, prior, at, "information");
    const mass = massAt(sum) - 0.5 * Math.log(growthAlone(sum).grip);
    if (mass > most) [best, most] = [at, mass];
  }
  return best!;
}

/** One value of the growth grid. */
interface Slice {
  readonly growth: number;
  readonly logMass: number;
  readonly levels: Float64Array;
  readonly levelGrip: Float64Array;
  readonly cross: Float64Array;
}

/** Cells of the grid on either side of the top, at most; and where their mass is negligible. */
const MOST_CELLS = 40;
const NEGLIGIBLE = 5;
const LEVEL_STEPS = 5;
/** Width of a cell in standard deviations of the top. */
const CELL = 0.8;

/** The posterior at one growth, its levels' tops looked for from where `near` says they moved to. */
function sliceAt(flat: FlatHistory, prior: ClassPrior, growth: number, near: Slice): Slice {
  const step = growth - near.growth;
  const levels = near.levels.map(
    (level, s) => level - (near.cross[s]! / near.levelGrip[s]!) * step,
  );
  const at: LinePoint = { growth, levels };
  const sum = assemble(flat, prior, at, "information");
  const gain = nearTop(sum);
  if (gain !== null) {
    moveLevels(sum, at, 0);
    return sliceOf(sum, at, gain);
  }
  for (let iteration = 0; iteration < LEVEL_STEPS; iteration++) {
    if (moveLevels(assemble(flat, prior, at, "grip"), at, 0) < NEAR) break;
  }
  return topSlice(flat, prior, at);
}

/** So near the levels' top their posterior is a parabola [ln ohm]. */
const NEAR = 0.05;

/** How much higher the top of the levels is, by their parabola; null where it is not near. */
function nearTop({ levelPull, levelGrip }: Arrowhead): number | null {
  let gain = 0;
  for (let s = 0; s < levelPull.length; s++) {
    const move = levelPull[s]! / levelGrip[s]!;
    if (!(Math.abs(move) < NEAR)) return null;
    gain += 0.5 * levelPull[s]! * move;
  }
  return gain;
}

const sliceOf = (sum: Arrowhead, { growth, levels }: LinePoint, gain: number): Slice => ({
  growth,
  logMass: massAt(sum) + gain,
  levels,
  levelGrip: sum.levelGrip,
  cross: sum.cross,
});

const topSlice = (flat: FlatHistory, prior: ClassPrior, at: LinePoint): Slice =>
  sliceOf(assemble(flat, prior, at, "information"), at, 0);

/** Slices of the posterior from the top outwards, until nothing is left on either side. */
function slices(flat: FlatHistory, prior: ClassPrior, top: LinePoint): readonly Slice[] {
  const width = 1 / Math.sqrt(growthAlone(assemble(flat, prior, top, "information")).grip);
  const middle = topSlice(flat, prior, top);
  const side = (step: number): Slice[] => {
    const found: Slice[] = [];
    let last = middle;
    for (let n = 1; n <= MOST_CELLS && last.logMass > middle.logMass - NEGLIGIBLE; n++) {
      last = sliceAt(flat, prior, top.growth + n * step, last);
      found.push(last);
    }
    return found;
  };
  return [...side(-CELL * width).reverse(), middle, ...side(CELL * width)];
}

/**
 * Where probability `p` falls on a growth grid: which cell, and how far into it, -0.5 to 0.5. Within
 * a cell the density is taken as even.
 */
export function cellAt(share: Float64Array, p: number): { cell: number; into: number } {
  let before = 0;
  let cell = 0;
  for (; cell < share.length - 1 && before + share[cell]! < p; cell++) before += share[cell]!;
  const into = share[cell]! > 0 ? (p - before) / share[cell]! : 0.5;
  return { cell, into: Math.max(0, Math.min(1, into)) - 0.5 };
}

/** The growth with posterior probability `p` below it [ln ohm a week]. */
export function growthQuantile({ growth, share }: GrowthGrid, p: number): number {
  const { cell, into } = cellAt(share, p);
  const step = growth.length < 2 ? 0 : growth[1]! - growth[0]!;
  return growth[cell]! + into * step;
}

/** Integrates over growth about the posterior's top. */
export function spread(flat: FlatHistory, prior: ClassPrior, top: LinePoint): ContactFit {
  const cells = slices(flat, prior, top);
  const most = Math.max(...cells.map(({ logMass }) => logMass));
  const masses = cells.map(({ logMass }) => Math.exp(logMass - most));
  const total = masses.reduce((sum, mass) => sum + mass, 0);
  const share = Float64Array.from(masses, (mass) => mass / total);
  const over = (f: (cell: Slice) => number): number =>
    cells.reduce((sum, cell, i) => sum + share[i]! * f(cell), 0);
  const growth = over((cell) => cell.growth);
  const growthVariance = over((cell) => (cell.growth - growth) ** 2);
  const own = 1 / growthVariance - 1 / prior.growthVariance;
  const informed = own > 1e-3 / prior.growthVariance;
  const last = top.levels.length - 1;
  return {
    growth,
    growthVariance,
    ownVariance: informed ? 1 / own : Infinity,
    ownGrowth: informed
      ? (growth / growthVariance - prior.growth / prior.growthVariance) / own
      : prior.growth,
    levels: flat.priors.map((parts, s): SegmentLevel => {
      const level = over((cell) => cell.levels[s]!);
      const levelVariance = over((cell) => 1 / cell.levelGrip[s]! + (cell.levels[s]! - level) ** 2);
      const covariance = over((cell) => (cell.levels[s]! - level) * (cell.growth - growth));
      const before = pullOfPrior(parts, level);
      const ownPrecision = 1 / levelVariance - before.grip;
      const seen = ownPrecision > 0.05 * before.grip;
      return {
        level,
        levelVariance,
        covariance,
        ownLevel: seen ? level - before.pull / ownPrecision : level,
        ownVariance: seen ? 1 / ownPrecision : Infinity,
      };
    }),
    grid: {
      growth: Float64Array.from(cells, (cell) => cell.growth),
      share,
      lastLevel: Float64Array.from(cells, ({ levels }) => levels[last]!),
      lastLevelVariance: Float64Array.from(cells, ({ levelGrip }) => 1 / levelGrip[last]!),
    },
  };
}
