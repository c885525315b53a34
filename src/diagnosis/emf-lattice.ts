import type { Estimate } from "../domain/findings.ts";
import { type EmfPosterior, logNormalDensity } from "./emf-node.ts";
import type { EmfSeed } from "./emf-pilot.ts";

/** Where the posterior is this far below its maximum, in ln, it ends. */
const NEGLIGIBLE = 10;
/** Step of the lattice, in standard deviations of the narrowest mode. */
const STEP_SDS = 1.2;
/** Largest disagreement of the lattice's two halves; the whole is then good to about 1e-5. */
const HALVES_AGREE = 0.2;

/**
 * Integrates over the EMF by the trapezoidal rule on an even lattice. For a smooth function that
 * dies off at both ends the rule converges exponentially: with a step of 1.2 standard deviations of
 * a normal it is off by 2 exp(-2 pi^2 / 1.44) = 2e-6 (Trefethen & Weideman, "The exponentially
 * convergent trapezoidal rule", SIAM Review 56 (2014) 385-458). The lattice grows from the seeds
 * until it has reached the negligible on every side, and is halved until its even and odd nodes
 * agree.
 */
export function latticePosterior<Evidence extends { readonly logLikelihood: number }>(
  prior: { readonly mean: number; readonly sd: number },
  seeds: readonly EmfSeed[],
  evaluate: (emfs: readonly number[]) => readonly Evidence[],
): EmfPosterior<Evidence> {
  const origin = seeds[0]!.emf;
  let step = STEP_SDS * Math.min(...seeds.map(({ sd }) => sd));
  let lattice = new Map<number, LatticePoint<Evidence>>();
  const visit = (wanted: readonly number[]): void => {
    const fresh = [...new Set(wanted)].filter((k) => !lattice.has(k));
    const emfs = fresh.map((k) => origin + k * step);
    for (const [n, evidence] of evaluate(emfs).entries()) {
      const emf = emfs[n]!;
      const logDensity = evidence.logLikelihood + logNormalDensity(emf, prior);
      lattice.set(fresh[n]!, { emf, evidence, logDensity });
    }
  };
  let starts = seeds.map(({ emf }) => Math.round((emf - origin) / step));
  for (let halving = 0; ; halving++) {
    grow(lattice, starts, visit);
    if (halvesAgree(lattice)) break;
    if (halving === 12) throw new Error("the integral over the EMF does not converge");
    lattice = new Map([...lattice].map(([k, point]) => [2 * k, point]));
    starts = [...lattice.keys()].flatMap((k) => [k - 1, k, k + 1]);
    step /= 2;
  }
  return posteriorOf(lattice, step);
}

interface LatticePoint<Evidence> {
  readonly emf: number;
  readonly evidence: Evidence;
  readonly logDensity: number;
}

/** Visits the starts, then neighbours of whatever still counts, until none is left. */
function grow<Evidence>(
  lattice: ReadonlyMap<number, LatticePoint<Evidence>>,
  starts: readonly number[],
  visit: (wanted: readonly number[]) => void,
): void {
  // The first look takes in what a normal posterior would need.
  let wanted = starts.flatMap((k) => [k - 3, k - 2, k - 1, k, k + 1, k + 2, k + 3]);
  while (wanted.length > 0) {
    visit(wanted);
    const most = Math.max(...[...lattice.values()].map(({ logDensity }) => logDensity));
    wanted = [...lattice]
      .filter(([, { logDensity }]) => logDensity >= most - NEGLIGIBLE)
      .flatMap(([k]) => [k - 1, k + 1])
      .filter((k) => !lattice.has(k));
  }
}

function halvesAgree<Evidence>(lattice: ReadonlyMap<number, LatticePoint<Evidence>>): boolean {
  const most = Math.max(...[...lattice.values()].map(({ logDensity }) => logDensity));
  let even = 0;
  let odd = 0;
  for (const [k, { logDensity }] of lattice) {
    const density = Math.exp(logDensity - most);
    if (k % 2 === 0) even += density;
    else odd += density;
  }
  return Math.abs(even - odd) < HALVES_AGREE * (even + odd);
}

function posteriorOf<Evidence>(
  lattice: ReadonlyMap<number, LatticePoint<Evidence>>,
  step: number,
): EmfPosterior<Evidence> {
  const points = [...lattice.entries()].sort(([a], [b]) => a - b);
  const most = Math.max(...points.map(([, { logDensity }]) => logDensity));
  const sum = points.reduce((total, [, { logDensity }]) => total + Math.exp(logDensity - most), 0);
  return {
    nodes: points
      .map(([, { emf, evidence, logDensity }]) => ({
        emf,
        weight: Math.exp(logDensity - most) / sum,
        evidence,
      }))
      .filter(({ weight }) => weight > 1e-7),
    logEvidence: most + Math.log(sum * step),
    estimate: estimateOf(
      points.map(([, { emf }]) => emf),
      points.map(([, { logDensity }]) => logDensity - most),
      step,
    ),
  };
}

/** Steps into which a lattice cell is cut to read off quantiles. */
const FINE = 32;

/** Median and 90 % interval, from the log density interpolated by cubics. */
function estimateOf(
  emfs: readonly number[],
  logDensities: readonly number[],
  step: number,
): Estimate {
  const at: number[] = [];
  const cumulative: number[] = [];
  let sum = 0;
  for (let i = 0; i + 1 < emfs.length; i++) {
    if (emfs[i + 1]! - emfs[i]! > 1.5 * step) continue;
    const [a, b, c, d] = [-1, 0, 1, 2].map(
      (n) => logDensities[Math.min(emfs.length - 1, Math.max(0, i + n))]!,
    ) as [number, number, number, number];
    for (let k = 0; k < FINE; k++) {
      const x = (k + 0.5) / FINE;
      const cubic =
        b + 0.5 * x * (c - a + x * (2 * a - 5 * b + 4 * c - d + x * (3 * (b - c) + d - a)));
      sum += Math.exp(cubic);
      at.push(emfs[i]! + ((k + 1) / FINE) * step);
      cumulative.push(sum);
    }
  }
  const quantile = (p: number): number => {
    const target = p * sum;
    const i = cumulative.findIndex((value) => value >= target);
    const before = i > 0 ? cumulative[i - 1]! : 0;
    return at[i]! - (1 - (target - before) / (cumulative[i]! - before)) * (step / FINE);
  };
  return { median: quantile(0.5), low: quantile(0.05), high: quantile(0.95) };
}
