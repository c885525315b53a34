import { scatteredAt } from "../../numerics/lattice.ts";
import { growthRows } from "./growth-rows.ts";
import type { PathPasts } from "./path-pasts.ts";
import { weightedQuantiles } from "./weighted-quantiles.ts";

/** How far ahead anything is reckoned [weeks]. */
export const HORIZON = 260;
/** Within so many weeks a path must be likely to cross for a date to be given. */
export const SOON = 104;

/** What may happen on the way: steps, each touching every contact with a chance, and idle weeks. */
export interface AheadLaw {
  readonly stepsPerWeek: number;
  readonly touched: number;
  readonly rise: number;
  /** Idle stretches a week, their mean weeks, and the growth factor in them. */
  readonly idlePerWeek: number;
  readonly idleWeeks: number;
  readonly idleFactors: readonly { readonly factor: number; readonly share: number }[];
}

const ohmsAhead = (kind: string, level: number, rate: number, weeks: number): number =>
  kind === "ohm"
    ? Math.exp(level) + rate * weeks
    : Math.exp(Math.min(20, level + (kind === "log" ? rate * weeks : 0)));

function factorOf(u: number, { idleFactors }: AheadLaw): number {
  let left = u;
  for (const { factor, share } of idleFactors) {
    left -= share;
    if (left <= 0) return factor;
  }
  return idleFactors.at(-1)!.factor;
}

/** Calendar week at which the growth clock has run so far, along one future's idle stretches. */
function calendarWeek(growth: number, n: number, law: AheadLaw): number {
  if (law.idlePerWeek <= 0) return growth;
  const factor = factorOf(scatteredAt(n, 299), law);
  let [week, clock] = [0, 0];
  for (let e = 0; e < 60; e++) {
    const open = -Math.log(1 - scatteredAt(n, 300 + 2 * e)) / law.idlePerWeek;
    if (clock + open >= growth) return week + growth - clock;
    [week, clock] = [week + open, clock + open];
    const idle = -Math.log(1 - scatteredAt(n, 301 + 2 * e)) * law.idleWeeks;
    const grown = idle * factor;
    if (clock + grown >= growth) return week + (growth - clock) / factor;
    [week, clock] = [week + idle, clock + grown];
  }
  return week + growth - clock;
}

/**
 * Weeks until each of a path's futures is at `room` ohms of contacts; infinite beyond the horizon.
 */
export function crossingWeeks(pasts: PathPasts, room: number, law: AheadLaw): Float64Array {
  const { contacts } = pasts;
  const level = new Float64Array(contacts);
  const grown = new Float64Array(contacts);
  const weeks = new Float64Array(pasts.count);
  for (let n = 0; n < pasts.count; n++) {
    const at = n * contacts;
    const sum = (ahead: number): number => {
      let ohms = 0;
      for (let k = 0; k < contacts; k++) {
        const { kind } = growthRows[pasts.rows[at + k]!]!;
        ohms += ohmsAhead(kind, level[k]!, pasts.rates[at + k]!, ahead);
      }
      return ohms;
    };
    for (let k = 0; k < contacts; k++) level[k] = pasts.levels[at + k]!;
    let clock = 0;
    let crossed = sum(0) >= room ? 0 : Number.POSITIVE_INFINITY;
    for (let e = 0; crossed === Number.POSITIVE_INFINITY && clock < HORIZON; e++) {
      const gap =
        law.stepsPerWeek > 0 && e < 60
          ? -Math.log(1 - scatteredAt(n, 1000 + 7 * e)) / law.stepsPerWeek
          : HORIZON;
      const stretch = Math.min(gap, HORIZON - clock);
      if (sum(stretch) >= room) {
        let [low, high] = [0, stretch];
        while (high - low > 0.02) {
          const middle = (low + high) / 2;
          if (sum(middle) >= room) high = middle;
          else low = middle;
        }
        crossed = clock + high;
        break;
      }
      clock += stretch;
      for (let k = 0; k < contacts; k++) {
        const { kind } = growthRows[pasts.rows[at + k]!]!;
        grown[k] = Math.log(ohmsAhead(kind, level[k]!, pasts.rates[at + k]!, stretch));
        const u = scatteredAt(n, 2000 + 11 * e + k);
        // Of those touched, what is left of u is as good as a fresh coordinate.
        if (clock < HORIZON && u < law.touched)
          grown[k]! -= law.rise * Math.log(1 - u / law.touched);
        level[k] = grown[k]!;
      }
      if (sum(0) >= room) crossed = clock;
    }
    const calendar = Number.isFinite(crossed) ? calendarWeek(crossed, n, law) : crossed;
    weeks[n] = calendar > HORIZON ? Number.POSITIVE_INFINITY : calendar;
  }
  return weeks;
}

/** What is said of one path's crossing, in weeks from the day of the forecast. */
export interface PathOutlook {
  /** P(it crosses within `SOON`). */
  readonly growing: number;
  /** P(it is over now). */
  readonly over: number;
  /** P(it has been seen to fall: by more than `seen` ohms). */
  readonly fell: number;
  /** 90 % sure not before [weeks]. */
  readonly notBefore: number;
  /** 10, 50, 90 % given that it crosses within the horizon. */
  readonly low: number;
  readonly median: number;
  readonly high: number;
}

/** Summary of a path's futures; `seen`: a rise of so many ohms is one that the walks have seen. */
export function outlookOf(pasts: PathPasts, weeks: Float64Array, seen: number): PathOutlook {
  let [soon, over, fell, ever] = [0, 0, 0, 0];
  for (let n = 0; n < pasts.count; n++) {
    const weight = pasts.weights[n]!;
    if (weeks[n]! <= SOON) soon += weight;
    if (weeks[n]! === 0) over += weight;
    if (pasts.rise[n]! > seen) fell += weight;
    if (weeks[n]! <= HORIZON) ever += weight;
  }
  const shares = [0.1, 0.1 * ever, 0.5 * ever, 0.9 * ever];
  const [notBefore, low, median, high] = weightedQuantiles(weeks, pasts.weights, shares);
  return {
    growing: soon,
    over,
    fell,
    notBefore: notBefore!,
    low: low!,
    median: median!,
    high: high!,
  };
}

/** The contact that is the largest when its path crosses, most often. */
export function driverOf(pasts: PathPasts, weeks: Float64Array): number {
  const led = new Float64Array(pasts.contacts);
  for (let n = 0; n < pasts.count; n++) {
    let [largest, most] = [0, Number.NEGATIVE_INFINITY];
    for (let k = 0; k < pasts.contacts; k++) {
      const at = n * pasts.contacts + k;
      const { kind } = growthRows[pasts.rows[at]!]!;
      const ohms = ohmsAhead(kind, pasts.levels[at]!, pasts.rates[at]!, Math.min(SOON, weeks[n]!));
      if (ohms > most) [largest, most] = [k, ohms];
    }
    led[largest]! += pasts.weights[n]!;
  }
  return led.indexOf(Math.max(...led));
}
