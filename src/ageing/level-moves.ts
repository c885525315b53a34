import { gaussHermite } from "../numerics/gauss-rule.ts";
import type { AgeingLaw, LogNormalRate } from "./ageing-law.ts";

/** ln ohms on an even grid: nodes `low + i * step`, masses that add to 1. */
export interface LevelDensity {
  readonly low: number;
  readonly step: number;
  readonly mass: Float64Array;
}

const RATES = gaussHermite(9);
const SCATTERS = gaussHermite(5);

/** Nodes of a log-normal rate, weights adding to 1. */
const ratesOf = ({ median, logSd }: LogNormalRate) =>
  Array.from(RATES.nodes, (z, i) => ({
    rate: median * Math.exp(logSd * z),
    weight: RATES.weights[i]!,
  }));

/** Adds a mass at a level, shared between the two nodes about it. */
function put(into: Float64Array, { low, step }: LevelDensity, level: number, mass: number): void {
  const node = Math.min(into.length - 1, Math.max(0, (level - low) / step));
  const below = Math.min(into.length - 2, Math.floor(node));
  into[below]! += (1 - (node - below)) * mass;
  into[below + 1]! += (node - below) * mass;
}

/** Every mass moved by a function of its level. */
function carry(
  density: LevelDensity,
  mass: Float64Array,
  ways: readonly { readonly weight: number; readonly to: (level: number) => number }[],
): Float64Array {
  const into = new Float64Array(mass.length);
  for (const { weight, to } of ways) {
    for (let i = 0; i < mass.length; i++) {
      if (mass[i]! > 1e-15)
        put(into, density, to(density.low + i * density.step), weight * mass[i]!);
    }
  }
  return into;
}

/** Growth of so many weeks: none, by a share of itself, or by ohms. */
const growthWays = (law: AgeingLaw, weeks: number) => [
  { weight: law.notGrowing, to: (level: number) => level },
  ...ratesOf(law.logRate).map(({ rate, weight }) => ({
    weight: (1 - law.notGrowing) * (1 - law.linear) * weight,
    to: (level: number) => level + rate * weeks,
  })),
  ...ratesOf(law.ohmRate).map(({ rate, weight }) => ({
    weight: (1 - law.notGrowing) * law.linear * weight,
    to: (level: number) => Math.log(Math.exp(level) + rate * weeks),
  })),
];

/** Steps in so many weeks that touch it, up to two: each an exponential rise, at its quantiles. */
function stepWays({ steps }: AgeingLaw, weeks: number) {
  const mean = steps.perWeek * steps.touched * weeks;
  const rises = [0.1, 0.3, 0.5, 0.7, 0.9].map((p) => -steps.rise * Math.log(1 - p));
  const none = Math.exp(-mean);
  const one = mean * none;
  const more = 1 - none - one;
  return [
    { weight: none, to: (level: number) => level },
    ...rises.map((rise) => ({ weight: one / rises.length, to: (level: number) => level + rise })),
    ...rises.map((rise) => ({
      weight: more / rises.length,
      to: (level: number) => level + rise + 1.3 * steps.rise,
    })),
  ];
}

/**
 * Density of ln ohms at the next walk, in one state: the old one grown on for `weeks` (the share
 * `kept`), else a fresh one. Both on the same grid. The scatter of both walks is added.
 */
export function moveLevel(
  old: LevelDensity,
  fresh: LevelDensity,
  kept: number,
  weeks: number,
  law: AgeingLaw,
): LevelDensity {
  if (old.mass.length !== fresh.mass.length || old.low !== fresh.low || old.step !== fresh.step)
    throw new Error("two densities of one contact stand on one grid");
  const grown = carry(old, old.mass, growthWays(law, weeks));
  const stepped = carry(old, grown, stepWays(law, weeks));
  const spread = Math.SQRT2 * law.scatter;
  const scattered = carry(
    old,
    stepped,
    Array.from(SCATTERS.nodes, (z, i) => ({
      weight: SCATTERS.weights[i]!,
      to: (level: number) => level + spread * z,
    })),
  );
  return { ...old, mass: scattered.map((mass, i) => kept * mass + (1 - kept) * fresh.mass[i]!) };
}
