import { describe, expect, test } from "vitest";
import { nearNormalPosterior } from "../../src/diagnosis/emf-near-normal.ts";
import { logNormalDensity } from "../../src/diagnosis/emf-node.ts";

const prior = { mean: 0, sd: 3 };

/**
 * ln of a gamma variable of shape k: a skewed posterior whose every figure is in the tables. Its
 * density is exp(k x - e^x) / (k - 1)!; the seed is its mode and the curvature there.
 */
function logGamma(shape: number) {
  let asked = 0;
  const seed = { emf: Math.log(shape), sd: 1 / Math.sqrt(shape) };
  const evaluate = (emfs: readonly number[]) => {
    asked += emfs.length;
    return emfs.map((x) => ({
      logLikelihood: shape * x - Math.exp(x) - logNormalDensity(x, prior),
    }));
  };
  const found = nearNormalPosterior(prior, seed, 10 * seed.sd, evaluate);
  if (found === null) throw new Error("no normal near it");
  return { found, sd: seed.sd, asked };
}

const logFactorial = (n: number): number => (n < 2 ? 0 : Math.log(n) + logFactorial(n - 1));

/** Euler's constant (Abramowitz & Stegun 6.1.3). */
const EULER = 0.5772156649;
const harmonic = (n: number): number => (n === 0 ? 0 : 1 / n + harmonic(n - 1));

describe("the EMF's posterior near a normal", () => {
  test.each([400, 100, 40, 20])("integrates the log of a gamma variable of shape %i", (shape) => {
    const { found, sd } = logGamma(shape);
    expect(found.logEvidence).toBeCloseTo(logFactorial(shape - 1), 3);
    // The mean is the digamma function, at whole numbers harmonic(k - 1) - Euler (ibid. 6.3.2).
    const mean = found.nodes.reduce((sum, { emf, weight }) => sum + weight * emf, 0);
    expect(Math.abs(mean - (harmonic(shape - 1) - EULER))).toBeLessThan(2e-3 * sd);
  });

  test("finds its quantiles", () => {
    // Twice a gamma variable of shape 20 is chi-squared with 40 degrees of freedom, whose 5, 50 and
    // 95 % points are 26.509, 39.335 and 55.758 (ibid. table 26.8).
    const { found, sd } = logGamma(20);
    const { low, median, high } = found.estimate;
    expect(Math.abs(low - Math.log(26.509 / 2))).toBeLessThan(0.02 * sd);
    expect(Math.abs(median - Math.log(39.335 / 2))).toBeLessThan(0.02 * sd);
    expect(Math.abs(high - Math.log(55.758 / 2))).toBeLessThan(0.02 * sd);
  });

  test("asks four EMFs of a normal, and more of what is skewed", () => {
    expect(logGamma(400).asked).toBe(4);
    expect(logGamma(20).asked).toBeGreaterThan(4);
  });

  test("gives up on two modes", () => {
    const log = (x: number): number =>
      Math.log(Math.exp(-8 * (x - 1) ** 2) + Math.exp(-8 * (x + 1) ** 2));
    const evaluate = (emfs: readonly number[]) => emfs.map((x) => ({ logLikelihood: log(x) }));
    expect(nearNormalPosterior(prior, { emf: 0, sd: 0.8 }, 8, evaluate)).toBeNull();
  });
});
