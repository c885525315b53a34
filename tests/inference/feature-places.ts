import { expect } from "vitest";
import type { Feature } from "../../src/inference/chain/mesh.ts";

/** Where something varies along an axis, and how fast, before any rounding. */
export interface Place {
  readonly low: number;
  readonly high: number;
  readonly width: number;
  /** Readings of that place; absent: one. */
  readonly readings?: number;
}

export const uOf = (t: number, scale: number): number => t / (scale + t);
export const tOf = (u: number, scale: number): number => (scale * u) / (1 - u);

/** The noise along the axis at contacts of t, by the volts at any t: numerically. */
export function noiseAlong(
  voltsAt: (t: number) => number,
  t: number,
  scale: number,
  noise: number,
): number {
  const [u, step] = [uOf(t, scale), 1e-6];
  const at = (x: number): number => voltsAt(tOf(x, scale));
  return noise / Math.abs((at(u + step) - at(u - step)) / (2 * step));
}

/**
 * What is rounded outward is held to what it was rounded from: at most a width more at either end, and a
 * width no wider, nor narrower by more than so much.
 */
export function expectFeatures(
  found: readonly Feature[],
  places: readonly Place[],
  narrower: number,
): void {
  const rising = (a: Place, b: Place): number => a.low - b.low || a.width - b.width;
  const expected = places.toSorted(rising);
  expect(found).toHaveLength(places.length);
  for (const [i, feature] of found.toSorted(rising).entries()) {
    const { low, high, width, readings = 1 } = expected[i]!;
    expect(feature.low).toBeLessThanOrEqual(low + 1e-9);
    expect(feature.low).toBeGreaterThan(low - 1.01 * width);
    expect(feature.high).toBeGreaterThanOrEqual(Math.min(1, high) - 1e-9);
    expect(feature.high).toBeLessThan(high + 1.01 * width);
    const one = feature.width * Math.sqrt(readings);
    expect(one).toBeLessThan(1.01 * width);
    expect(one).toBeGreaterThan((0.99 * width) / narrower);
  }
}
