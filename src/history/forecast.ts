import { median, quantileSorted } from "simple-statistics";
import { normalQuantile } from "../distributions/normal.ts";
import type { Estimate } from "../domain/findings.ts";
import type { Lane, Pool } from "../domain/pool.ts";
import { cellAt, type GrowthGrid } from "./contact-fit.ts";
import type { FittedContact } from "./growth.ts";

/** When one circuit's reading at the last point will be at the pool's limit. */
export interface CircuitForecast {
  readonly lane: Lane;
  readonly device: string;
  /** The last point, where the limit applies. */
  readonly point: string;
  readonly limitVolts: number;
  /** Day that the forecast starts from: the last walk, or work done since. */
  readonly from: number;
  /** What the last point should read on that day, walk-to-walk scatter left out; 90 % [V]. */
  readonly volts: Estimate;
  /**
   * Day number on which it crosses the limit: median and 80 % interval. `from` where it is there
   * already, infinite where it will not be within `HORIZON_WEEKS`.
   */
  readonly crossing: Estimate;
  /** P(it crosses within `HORIZON_WEEKS`). */
  readonly willCross: number;
  /** Day of the next walk at which to look again. */
  readonly lookAgain: number;
  /** Point of the contact that takes the most of the path's resistance when it crosses. */
  readonly driver: string;
}

/** How far ahead a straight line of log ohms is believed at all [weeks]. */
export const HORIZON_WEEKS = 260;
/** A path is looked at once in so many weeks, however good it looks. */
const MOST_WEEKS_BETWEEN_LOOKS = 13;
/** Look again before the limit has been crossed with this probability. */
const RISK_UNTIL_LOOK = 0.1;
/** Points of the lattice of possible futures. */
const FUTURES = 1024;

/** The supply, as all walks together have it: typical EMF and the error of that [V]. */
export interface TypicalEmf {
  readonly volts: number;
  readonly error: number;
}

/** Median of the walks' EMFs; one odd walk does not move it. */
export function typicalEmf(emfs: readonly Estimate[]): TypicalEmf {
  const medians = emfs.map((emf) => emf.median);
  const volts = median(medians);
  const within = median(emfs.map((emf) => (emf.high - emf.low) / (2 * 1.6449)));
  const between = 1.4826 * median(medians.map((value) => Math.abs(value - volts)));
  return { volts, error: Math.hypot(within, 1.2533 * between) / Math.sqrt(emfs.length) };
}

/** The first primes, enough for the growth and level of 14 contacts and the EMF. */
const PRIMES = [
  2, 3, 5, 7, 11, 13, 17, 19, 23, 29, 31, 37, 41, 43, 47, 53, 59, 61, 67, 71, 73, 79, 83, 89, 97,
  101, 103, 107, 109,
];

/**
 * Coordinates of evenly spread futures, one row each: nothing is drawn at random. For each contact
 * a probability (of its growth) and a standard normal (of its level), then one for the EMF.
 *
 * Source: Richtmyer's sequence, multiples of the square roots of primes modulo 1 (Niederreiter,
 * Random Number Generation and Quasi-Monte Carlo Methods, 1992, chapter 3).
 */
export function futures(contacts: number): Float64Array {
  const dimensions = 2 * contacts + 1;
  const table = new Float64Array(FUTURES * dimensions);
  for (let d = 0; d < dimensions; d++) {
    const root = Math.sqrt(PRIMES[d % PRIMES.length]!) * (1 + Math.floor(d / PRIMES.length));
    for (let n = 0; n < FUTURES; n++) {
      const p = ((n + 0.5) * root) % 1;
      table[n * dimensions + d] = d % 2 === 0 && d < 2 * contacts ? p : normalQuantile(p);
    }
  }
  return table;
}

/** One contact's possible lines, seen from the day of the forecast. */
interface Line {
  readonly grid: GrowthGrid;
  /** Since its segment began. */
  readonly weeks: number;
}

/**
 * Weeks until `sum of exp(now + growth * weeks)` reaches `room` ohms; infinite beyond the horizon.
 * The logarithm of the sum is convex, so Newton's steps from the far end never overshoot.
 */
export function weeksUntil(now: Float64Array, growth: Float64Array, room: number): number {
  const sumAt = (weeks: number): { sum: number; slope: number } => {
    let sum = 0;
    let slope = 0;
    for (let k = 0; k < now.length; k++) {
      const ohms = Math.exp(Math.min(600, now[k]! + growth[k]! * weeks));
      sum += ohms;
      slope += ohms * growth[k]!;
    }
    return { sum, slope };
  };
  if (sumAt(0).sum >= room) return 0;
  let weeks = HORIZON_WEEKS;
  let { sum, slope } = sumAt(weeks);
  if (sum < room) return Infinity;
  for (let step = 0; step < 60; step++) {
    const move = (Math.log(sum / room) * sum) / slope;
    weeks -= move;
    if (move < 1e-3) break;
    ({ sum, slope } = sumAt(weeks));
  }
  return Math.max(0, weeks);
}

/** The path from the supply to the last point: what is known of it. */
interface Path {
  readonly loadOhms: number;
  /** Source and copper [Ω]. */
  readonly fixedOhms: number;
}

/** In ohms, or in units of the load where nobody knows it: copper is then left out. */
function pathOf(pool: Pool): Path {
  const loadOhms = pool.meters[0]!.loadOhms;
  if (loadOhms === null) return { loadOhms: 1, fixedOhms: 0 };
  const copper = pool.chain.reduce((sum, { wireOhms }) => sum + wireOhms, 0);
  return { loadOhms, fixedOhms: pool.supply.sourceOhms + copper };
}

/** Days of the next look: whole walks of `rhythm` days, at least one, before the risk is taken. */
function lookAgain(from: number, risky: number, rhythm: number): number {
  const latest = Math.min(risky, from + 7 * MOST_WEEKS_BETWEEN_LOOKS);
  return from + Math.max(1, Math.floor((latest - from) / rhythm)) * rhythm;
}

interface Ends {
  readonly weeks: Float64Array;
  readonly volts: Float64Array;
  /** Futures in which the contact was the largest at the crossing. */
  readonly led: Float64Array;
}

function runFutures(lines: readonly Line[], path: Path, emf: TypicalEmf, pool: Pool): Ends {
  const dimensions = 2 * lines.length + 1;
  const table = futuresFor(lines.length);
  const now = new Float64Array(lines.length);
  const growth = new Float64Array(lines.length);
  const ends: Ends = {
    weeks: new Float64Array(FUTURES),
    volts: new Float64Array(FUTURES),
    led: new Float64Array(lines.length),
  };
  for (let n = 0; n < FUTURES; n++) {
    const row = n * dimensions;
    let ohms = path.fixedOhms;
    for (let k = 0; k < lines.length; k++) {
      const { grid, weeks } = lines[k]!;
      const { cell, into } = cellAt(grid.share, table[row + 2 * k]!);
      const next = Math.min(grid.growth.length - 1, cell + 1);
      const back = Math.max(0, cell - 1);
      const step = next === back ? 0 : into / (next - back);
      const between = (of: Float64Array): number => of[cell]! + step * (of[next]! - of[back]!);
      growth[k] = between(grid.growth);
      const sd = Math.sqrt(grid.lastLevelVariance[cell]!);
      now[k] = between(grid.lastLevel) + sd * table[row + 2 * k + 1]! + growth[k]! * weeks;
      ohms += Math.exp(now[k]!);
    }
    const supply = emf.volts + emf.error * table[row + 2 * lines.length]!;
    const room = path.loadOhms * (supply / pool.limitVolts - 1) - path.fixedOhms;
    const weeks = weeksUntil(now, growth, room);
    ends.weeks[n] = weeks;
    ends.volts[n] = (supply * path.loadOhms) / (path.loadOhms + ohms);
    ends.led[largestAt(now, growth, Math.min(weeks, HORIZON_WEEKS))]! += 1;
  }
  return ends;
}

function largestAt(now: Float64Array, growth: Float64Array, weeks: number): number {
  let largest = 0;
  for (let k = 1; k < now.length; k++) {
    if (now[k]! + growth[k]! * weeks > now[largest]! + growth[largest]! * weeks) largest = k;
  }
  return largest;
}

const tables = new Map<number, Float64Array>();
/** The same table for every circuit of a pool: it depends on nothing but its size. */
function futuresFor(contacts: number): Float64Array {
  const table = tables.get(contacts) ?? futures(contacts);
  tables.set(contacts, table);
  return table;
}

/**
 * Forecasts one circuit from its contacts' lines, in the order of the chain.
 *
 * Every contact goes on growing at its own rate, nothing is cleaned, nothing breaks; the supply
 * stays at its typical EMF. `from` is the day to start from, `rhythm` the usual days between walks.
 */
export function forecastCircuit(
  pool: Pool,
  contacts: readonly FittedContact[],
  emf: TypicalEmf,
  from: number,
  rhythm: number,
): CircuitForecast {
  const lines = contacts.map(({ history, fit }) => ({
    grid: fit.grid,
    weeks: (from - history.segments.at(-1)!.begun) / 7,
  }));
  const ends = runFutures(lines, pathOf(pool), emf, pool);
  ends.weeks.sort();
  ends.volts.sort();
  const dayAt = (p: number): number => {
    // No interpolation: a date between a week and never is no date.
    const weeks = ends.weeks[Math.min(FUTURES - 1, Math.floor(p * FUTURES))]!;
    return from + 7 * weeks;
  };
  const volts = Array.from(ends.volts);
  const driver = ends.led.indexOf(Math.max(...ends.led));
  const { lane, device } = contacts[0]!.history;
  return {
    lane,
    device,
    point: contacts.at(-1)!.history.point,
    limitVolts: pool.limitVolts,
    from,
    volts: {
      median: quantileSorted(volts, 0.5),
      low: quantileSorted(volts, 0.05),
      high: quantileSorted(volts, 0.95),
    },
    crossing: { median: dayAt(0.5), low: dayAt(0.1), high: dayAt(0.9) },
    willCross: ends.weeks.filter(Number.isFinite).length / FUTURES,
    lookAgain: lookAgain(from, dayAt(RISK_UNTIL_LOOK), rhythm),
    driver: contacts[driver]!.history.point,
  };
}
