import { median } from "simple-statistics";
import { limitVoltsOr0 } from "../circuit/limit.ts";
import { pathWire, sourceOr0 } from "../domain/circuit.ts";
import type { Estimate } from "../domain/findings.ts";
import { type CircuitName, circuitName, circuitOf } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import { normalQuantile } from "../numerics/normal.ts";
import { cellAt, type GrowthGrid } from "./contact-fit.ts";
import { type EndReading, underNow } from "./end-readings.ts";
import type { FittedContact } from "./growth.ts";
import { WILD_SHARE } from "./line-likelihood.ts";
import { WeightedValues } from "./weighted-values.ts";

/** When one circuit's reading at the last point will be at the pool's limit. */
export interface CircuitForecast extends CircuitName {
  /** The last point, where the limit applies. */
  readonly point: string;
  readonly limitVolts: number;
  /** Day that the forecast starts from: the last walk, or work done since. */
  readonly from: number;
  /**
   * What the last point should read on that day, walk-to-walk scatter left out, or what it did read
   * where the latest walk rejects the path; 90 % [V].
   */
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

/** Standard deviations from the median to the 5 % and 95 % quantile. */
const TO_EDGE = 1.6449;

/** The supply, as all walks together have it: typical EMF, its error, its change from walk to walk [V]. */
export interface TypicalEmf {
  readonly volts: number;
  readonly error: number;
  readonly between: number;
}

/**
 * Median of the walks' EMFs; one odd walk does not move it. What all paths lose in common looks like
 * a lower supply to every walk alike, so that many walks know the EMF no better than `common` [V].
 */
export function typicalEmf(emfs: readonly Estimate[], common: number): TypicalEmf {
  const medians = emfs.map((emf) => emf.median);
  const volts = median(medians);
  const within = median(emfs.map((emf) => (emf.high - emf.low) / (2 * TO_EDGE)));
  const between = 1.4826 * median(medians.map((value) => Math.abs(value - volts)));
  const ofMedian = Math.hypot(within, 1.2533 * between) / Math.sqrt(emfs.length);
  return { volts, error: Math.hypot(ofMedian, common), between };
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
  /** Standard deviation about the line from walk to walk [ln ohm]. */
  readonly scatter: number;
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
function pathOf(pool: Pool, name: CircuitName): Path {
  const loadOhms = pool.meters[0]!.loadOhms;
  const circuit = circuitOf(pool, name);
  if (loadOhms === null || circuit === undefined) return { loadOhms: 1, fixedOhms: 0 };
  return { loadOhms, fixedOhms: sourceOr0(circuit.supply) + pathWire(circuit.path) };
}

/**
 * Day of the next look: as many whole walks of `rhythm` days on as fit before the risk is taken, or
 * the day before it where not even one does; where it is taken already, the next walk's day or a
 * week on.
 */
function lookAgain(from: number, risky: number, rhythm: number): number {
  const latest = Math.min(risky, from + 7 * MOST_WEEKS_BETWEEN_LOOKS);
  const walks = Math.floor((latest - from) / rhythm);
  if (walks >= 1) return from + walks * rhythm;
  return from + Math.max(Math.min(rhythm, 7), Math.floor(latest - from));
}

/** Readings of the path as a whole that futures are weighed by, at most: the latest. */
const MOST_READINGS = 12;

/**
 * ln P(the readings | one future), but for a constant; a reading may be wild. A walk's own EMF is no
 * help: it has taken for supply what all paths lose in common.
 */
function logFit(
  readings: readonly EndReading[],
  from: number,
  lines: readonly Line[],
  now: Float64Array,
  growth: Float64Array,
  fixedOhms: number,
  supply: number,
  between: number,
): number {
  let sum = 0;
  for (const { day, volts, error, loadOhms } of readings) {
    const weeks = (day - from) / 7;
    let loop = loadOhms + fixedOhms;
    let scatter2 = 0;
    for (let k = 0; k < now.length; k++) {
      const ohms = Math.exp(Math.min(600, now[k]! + growth[k]! * weeks));
      loop += ohms;
      scatter2 += (lines[k]!.scatter * ohms) ** 2;
    }
    const expected = (supply * loadOhms) / loop;
    const sd = Math.hypot(error, between, (expected / loop) * Math.sqrt(scatter2));
    const tame = Math.exp(-0.5 * ((volts - expected) / sd) ** 2) / (sd * Math.sqrt(2 * Math.PI));
    sum += Math.log((1 - WILD_SHARE) * tame + WILD_SHARE / supply);
  }
  return sum;
}

interface Ends {
  readonly weeks: Float64Array;
  readonly volts: Float64Array;
  /** ln of how well each future agrees with what the path has read. */
  readonly logFit: Float64Array;
  /** The contact that is the largest at the crossing. */
  readonly leader: Uint8Array;
}

function runFutures(
  lines: readonly Line[],
  path: Path,
  emf: TypicalEmf,
  pool: Pool,
  readings: readonly EndReading[],
  from: number,
): Ends {
  const dimensions = 2 * lines.length + 1;
  const table = futuresFor(lines.length);
  const limit = limitVoltsOr0(pool);
  const now = new Float64Array(lines.length);
  const growth = new Float64Array(lines.length);
  const ends: Ends = {
    weeks: new Float64Array(FUTURES),
    volts: new Float64Array(FUTURES),
    logFit: new Float64Array(FUTURES),
    leader: new Uint8Array(FUTURES),
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
    const room = path.loadOhms * (supply / limit - 1) - path.fixedOhms;
    const weeks = weeksUntil(now, growth, room);
    ends.weeks[n] = weeks;
    ends.volts[n] = (supply * path.loadOhms) / (path.loadOhms + ohms);
    const { fixedOhms } = path;
    ends.logFit[n] = logFit(readings, from, lines, now, growth, fixedOhms, supply, emf.between);
    ends.leader[n] = largestAt(now, growth, Math.min(weeks, HORIZON_WEEKS));
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

/** A path has crossed its limit where its latest walks say so with this probability. */
const REJECTED = 0.95;

/**
 * Forecasts one circuit from its contacts' lines, in the order of the chain.
 *
 * Every contact goes on growing at its own rate, nothing is cleaned, nothing breaks; the supply
 * stays at its typical EMF. Of the futures that the lines allow, those count that agree with what
 * the path as a whole has read (`readings`, the latest first). Where the latest walk rejects the
 * path, it has crossed, whatever its lines say. `from` is the day to start from, `rhythm` the usual
 * days between walks, `scatter` each contact's about its line [ln ohm].
 */
export function forecastCircuit(
  pool: Pool,
  contacts: readonly FittedContact[],
  scatter: readonly number[],
  readings: readonly EndReading[],
  emf: TypicalEmf,
  from: number,
  rhythm: number,
): CircuitForecast {
  const { history } = contacts[0]!;
  const limit = limitVoltsOr0(pool);
  const about = {
    ...circuitName(history),
    point: contacts.at(-1)!.history.point,
    ...{ limitVolts: limit, from },
  };
  const latest = readings[0];
  if (latest !== undefined && underNow(readings, limit) >= REJECTED) {
    const worst = latest.trouble.indexOf(Math.max(...latest.trouble));
    return {
      ...about,
      volts: asRead(latest),
      crossing: { median: from, low: from, high: from },
      willCross: 1,
      lookAgain: lookAgain(from, from, rhythm),
      driver: contacts[worst]!.history.point,
    };
  }
  const lines = contacts.map(({ history, fit }, k) => ({
    grid: fit.grid,
    weeks: (from - history.segments.at(-1)!.begun) / 7,
    scatter: scatter[k]!,
  }));
  const ends = runFutures(
    lines,
    pathOf(pool, history),
    emf,
    pool,
    readings.slice(0, MOST_READINGS),
    from,
  );
  const best = Math.max(...ends.logFit);
  const weights = ends.logFit.map((value) => Math.exp(value - best));
  const weeks = new WeightedValues(ends.weeks, weights);
  const dayAt = (p: number): number => from + 7 * weeks.quantile(p);
  const volts = new WeightedValues(ends.volts, weights);
  const led = new Float64Array(contacts.length);
  for (let n = 0; n < FUTURES; n++) led[ends.leader[n]!]! += weights[n]!;
  return {
    ...about,
    volts: { median: volts.quantile(0.5), low: volts.quantile(0.05), high: volts.quantile(0.95) },
    crossing: { median: dayAt(0.5), low: dayAt(0.1), high: dayAt(0.9) },
    willCross: weeks.shareUpTo(HORIZON_WEEKS),
    lookAgain: lookAgain(from, dayAt(RISK_UNTIL_LOOK), rhythm),
    driver: contacts[led.indexOf(Math.max(...led))]!.history.point,
  };
}

/** What a walk read, give or take its own error. */
function asRead({ volts, error }: EndReading): Estimate {
  const reach = TO_EDGE * error;
  return { median: volts, low: Math.max(0, volts - reach), high: volts + reach };
}
