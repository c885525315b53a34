import { latticeAt, normalLattice, scatteredAt } from "../../numerics/lattice.ts";
import type { JumpLaw } from "./contact-life.ts";
import type { ContactMoments } from "./contact-moments.ts";
import { growthRows } from "./growth-rows.ts";
import { riseShares, withChance } from "./jumps.ts";
import { LOWEST, NODES, nodeOf, nodeOfOhms, STEP, valueAt } from "./level-grid.ts";
import { type Along, begin, takeIn } from "./path-values.ts";
import type { SeasonData } from "./season-data.ts";
import type { FittedLife, SeasonFit } from "./season-fit.ts";

/**
 * Possible pasts of one path, with their weights: each contact's growth, level and steps from its
 * own posterior, then weighed by what the walks showed of all of them together,
 *
 *     weight = prod over walks  P(values | all contacts) / prod over contacts P(values | that one)
 *
 * (importance sampling on a fixed lattice: Owen, Monte Carlo theory, methods and examples, ch. 9,
 * from memory). Walks since the last work on the path are weighed; older ones spoke before.
 */
export interface PathPasts {
  readonly count: number;
  readonly contacts: number;
  /** Weights, adding to 1. */
  readonly weights: Float64Array;
  /** By past and contact: row of growth, rate, ln ohms on the day of the forecast. */
  readonly rows: Uint8Array;
  readonly rates: Float64Array;
  readonly levels: Float64Array;
  /** By past: ohms that the path's contacts have been seen to rise, each between two works. */
  readonly rise: Float64Array;
  /** 1 / sum of squared weights. */
  readonly effective: number;
}

const COUNT = 768;
const LEAST = Math.exp(LOWEST);
/** Walks that pasts are weighed by, at most: the latest. */
const MOST_WALKS = 40;

interface Drawer {
  readonly life: FittedLife;
  /** Ohms that it rose, as expected, between works before its last: rates outlive a cleaning. */
  readonly roseBefore: number;
  readonly cumulative: Float64Array;
  readonly cells: Int32Array;
}

function roseBefore({ life }: FittedLife, { mean }: ContactMoments): number {
  const begins = life.stages.filter(({ entry }) => entry.kind !== "step");
  return begins.slice(1).reduce((most, { from }, i) => {
    const first = begins[i]!.from;
    return from - first < 2 ? most : Math.max(most, mean[from - 1]! - mean[first]!);
  }, 0);
}

function drawerOf(life: FittedLife, moments: ContactMoments): Drawer {
  const { masses } = life.filter.stages.at(-1)!;
  const cells: number[] = [];
  const sums: number[] = [];
  let total = 0;
  for (let r = 0; r < growthRows.length; r++) {
    const share = life.rows[r]!;
    if (share < 1e-6) continue;
    let sum = 0;
    for (let i = 0; i < NODES; i++) sum += masses[r * NODES + i]!;
    if (sum === 0) continue;
    for (let i = 0; i < NODES; i++) {
      const mass = (share * masses[r * NODES + i]!) / sum;
      if (mass < 1e-9) continue;
      total += mass;
      cells.push(r * NODES + i);
      sums.push(total);
    }
  }
  return {
    life,
    roseBefore: roseBefore(life, moments),
    cells: Int32Array.from(cells),
    cumulative: Float64Array.from(sums, (sum) => sum / total),
  };
}

function find(cumulative: Float64Array, p: number): number {
  let [low, high] = [0, cumulative.length - 1];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (cumulative[middle]! > p) high = middle;
    else low = middle + 1;
  }
  return low;
}

/** One contact's past, drawn backwards. */
interface Drawn {
  readonly row: number;
  readonly rate: number;
  readonly level: number;
  /** ln P(values) by the filter, along the past as it lies on the grid. */
  readonly lnFilter: number;
  /** Ohms that it rose since the first walk after its last work, or between works before. */
  readonly rise: number;
}

const ohmsAgo = (kind: string, level: number, rate: number, ago: number): number =>
  kind === "ohm"
    ? Math.max(LEAST, Math.exp(level) - rate * ago)
    : Math.exp(level - (kind === "log" ? rate * ago : 0));

/** Fills `ohms` for walks since `windowFrom`: a little off the grid, to be weighed for it. */
function drawPast(
  { life, cumulative, cells, roseBefore: before }: Drawer,
  clock: Float64Array,
  windowFrom: number,
  n: number,
  k: number,
  jumps: JumpLaw,
  shares: Float64Array,
  ohms: Float64Array,
): Drawn {
  const u = latticeAt(n, 2 * k);
  const c = find(cumulative, u);
  const below = c === 0 ? 0 : cumulative[c - 1]!;
  const off = STEP * ((u - below) / Math.max(1e-15, cumulative[c]! - below) - 0.5);
  const row = Math.floor(cells[c]! / NODES);
  let node = cells[c]! % NODES;
  const { kind, rate: gridRate, lnRate, halfCell } = growthRows[row]!;
  const rate =
    kind === "flat" ? 0 : Math.exp(lnRate + halfCell * (2 * latticeAt(n, 2 * k + 1) - 1));
  const level = LOWEST + node * STEP + off;
  let lnFilter = 0;
  let first = Number.NaN;
  const { stages } = life.filter;
  for (let s = stages.length - 1; s >= 0; s--) {
    const { stage } = stages[s]!;
    const here = LOWEST + node * STEP;
    const still = Math.exp(here + off);
    for (let w = stage.to - 1; w >= Math.max(stage.from, windowFrom); w--) {
      const ago = stage.ends - clock[w]!;
      ohms[w] = kind === "flat" ? still : ohmsAgo(kind, here + off, rate, ago);
      const at =
        kind === "ohm"
          ? nodeOfOhms(ohmsAgo(kind, here, gridRate, ago))
          : nodeOf(here - (kind === "log" ? gridRate * ago : 0));
      lnFilter += valueAt(life.table, w * NODES, at);
    }
    if (stage.to > stage.from)
      first = ohmsAgo(kind, here + off, rate, stage.ends - clock[stage.from]!);
    if (stage.entry.kind !== "step") break;
    const v = scatteredAt(n, 40 * k + s);
    const { touched } = withChance(jumps, stage.entry.chance);
    node = nodeBefore(stages[s - 1]!.masses, row, node, touched, shares, v);
  }
  const since = Number.isNaN(first) ? 0 : Math.exp(level) - first;
  return { row, rate, level, lnFilter, rise: kind === "flat" ? since : Math.max(since, before) };
}

/** Where a contact at a node stood before a step, by what was known then. */
function nodeBefore(
  masses: Float64Array,
  row: number,
  node: number,
  touched: number,
  shares: Float64Array,
  u: number,
): number {
  const at = row * NODES + node;
  let total = (1 - touched) * masses[at]!;
  for (let j = 1; j <= node; j++) total += touched * shares[j]! * masses[at - j]!;
  if (total <= 0) return node;
  let left = u * total - (1 - touched) * masses[at]!;
  for (let j = 1; left > 0 && j <= node; j++) {
    left -= touched * shares[j]! * masses[at - j]!;
    if (left <= 0) return node - j;
  }
  return node;
}

/** First walk after the last work on any contact of the path. */
const windowOf = (lives: readonly FittedLife[], walks: number): number =>
  Math.max(
    walks - MOST_WALKS,
    ...lives.map(({ life }) => {
      const { stages } = life;
      let s = stages.length - 1;
      while (s > 0 && stages[s]!.entry.kind === "step") s--;
      return stages[s]!.from;
    }),
  );

const along: Along = { series: 0, variance: 0, likelihood: 1 };

/** Paths that show nothing need few pasts; this many tell. */
const FEW = 192;
/** A path has shown something where the odds are over one in twenty that it rose by so much [ohm]. */
const SHOWN = { chance: 0.05, ohms: 2 };

/** Draws and weighs one path's pasts. */
export function pathPasts(season: SeasonData, fit: SeasonFit, p: number): PathPasts {
  const few = drawPasts(season, fit, p, FEW);
  let shown = 0;
  for (let n = 0; n < FEW; n++) if (few.rise[n]! > SHOWN.ohms) shown += few.weights[n]!;
  return shown > SHOWN.chance ? drawPasts(season, fit, p, COUNT) : few;
}

function drawPasts(season: SeasonData, fit: SeasonFit, p: number, count: number): PathPasts {
  const path = season.paths[p]!;
  const lives = fit.lives[p]!.map((own) => own.at(-1)!);
  const walks = season.days.length;
  const from = windowOf(lives, walks);
  const drawers = lives.map((life, k) => drawerOf(life, fit.moments[p]![k]!));
  const size = count * path.contacts;
  const pasts = {
    count,
    contacts: path.contacts,
    weights: new Float64Array(count),
    rows: new Uint8Array(size),
    rates: new Float64Array(size),
    levels: new Float64Array(size),
    rise: new Float64Array(count),
  };
  const ohms = drawers.map(() => new Float64Array(walks));
  const shares = riseShares(fit.jumps.rise);
  const common = fit.supply[p]!.modes.map((_, m) => normalLattice(2 * path.contacts + m, COUNT));
  for (let n = 0; n < count; n++) {
    let ln = 0;
    drawers.forEach((drawer, k) => {
      const one = drawPast(drawer, season.clock, from, n, k, fit.jumps, shares, ohms[k]!);
      const at = n * path.contacts + k;
      ln -= one.lnFilter;
      pasts.rows[at] = one.row;
      pasts.rates[at] = one.rate;
      pasts.levels[at] = one.level;
      pasts.rise[n]! += one.rise;
    });
    pasts.weights[n] = ln + lnWalks(season, fit, p, from, n, ohms, common);
  }
  return { ...pasts, effective: normalize(pasts.weights) };
}

/** ln P(one path's values in all walks since `from` | all contacts). */
function lnWalks(
  season: SeasonData,
  fit: SeasonFit,
  p: number,
  from: number,
  n: number,
  ohms: readonly Float64Array[],
  common: readonly Float64Array[],
): number {
  const path = season.paths[p]!;
  const supply = fit.supply[p]!;
  let ln = 0;
  for (let w = from; w < season.days.length; w++) {
    const base = w * path.contacts;
    if (path.first[base] === path.first[base + path.contacts]) continue;
    let emf = supply.emf[w]!;
    for (let m = 0; m < common.length; m++) emf += common[m]![n]! * supply.modes[m]![w]!;
    begin(path, path.load[path.first[base]!]!, emf, supply.error[w]!, along);
    for (let k = 0; k < path.contacts; k++) {
      along.series += path.wires[k]! + ohms[k]![w]!;
      along.variance += (fit.scatter * ohms[k]![w]!) ** 2;
      takeIn(path, w, k, emf, along);
    }
    ln += Math.log(along.likelihood);
  }
  return ln;
}

/** Turns ln weights into weights that add to 1; returns how many even ones they are worth. */
function normalize(weights: Float64Array): number {
  const most = weights.reduce((top, ln) => Math.max(top, ln), Number.NEGATIVE_INFINITY);
  let sum = 0;
  for (let n = 0; n < weights.length; n++) {
    weights[n] = Math.exp(weights[n]! - most);
    sum += weights[n]!;
  }
  let squares = 0;
  for (let n = 0; n < weights.length; n++) {
    weights[n]! /= sum;
    squares += weights[n]! ** 2;
  }
  return 1 / squares;
}
