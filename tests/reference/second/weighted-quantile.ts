import { normalBelow } from "../normal.ts";
import type { Law } from "./facility-text.ts";

/** Median and 90 % interval; null where the quantile is an open circuit. */
export interface Three {
  readonly median: number | null;
  readonly low: number | null;
  readonly high: number | null;
}

const lowest = Math.log(1e-6);
const highest = Math.log(1e12);
const cellsOf = 12_000;
const width = (highest - lowest) / cellsOf;

/** Mass over cells of 0.35 % in ohms, and mass at infinity. */
export class OhmsMass {
  readonly finite = new Float64Array(cellsOf);
  open = 0;

  add(ohms: number, mass: number): void {
    const cell = Math.floor((Math.log(ohms) - lowest) / width);
    this.finite[Math.min(Math.max(cell, 0), cellsOf - 1)]! += mass;
  }

  /** Adds a whole log-normal of this mass. */
  addLaw({ median_ohms, log_sd }: Law, mass: number): void {
    let before = 0;
    for (let cell = 0; cell < cellsOf; cell++) {
      const upTo = normalBelow((lowest + (cell + 1) * width - Math.log(median_ohms)) / log_sd);
      this.finite[cell]! += mass * (upTo - before);
      before = upTo;
    }
  }

  private quantile(p: number): number | null {
    const goal = p * (this.finite.reduce((sum, m) => sum + m, 0) + this.open);
    let below = 0;
    for (let cell = 0; cell < cellsOf; cell++) {
      const here = this.finite[cell]!;
      if (here > 0 && below + here >= goal) {
        return Math.exp(lowest + (cell + (goal - below) / here) * width);
      }
      below += here;
    }
    return null;
  }

  three(): Three {
    return { median: this.quantile(0.5), low: this.quantile(0.05), high: this.quantile(0.95) };
  }
}

/** Quantiles of weighted values: of each value half its weight lies below it, linear between. */
export const quantilesOf = (values: readonly number[], weights: readonly number[]): Three => {
  const order = values.map((_, i) => i).sort((a, b) => values[a]! - values[b]!);
  const total = weights.reduce((a, b) => a + b, 0);
  const at = (p: number): number => {
    let sum = 0;
    let [x, y] = [values[order[0]!]!, 0];
    for (const i of order) {
      const middle = (sum + weights[i]! / 2) / total;
      if (middle >= p) {
        const share = middle === y ? 1 : (p - y) / (middle - y);
        return x + Math.max(0, share) * (values[i]! - x);
      }
      sum += weights[i]!;
      [x, y] = [values[i]!, middle];
    }
    return x;
  };
  return { median: at(0.5), low: at(0.05), high: at(0.95) };
};
