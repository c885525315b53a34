import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { betaCdf, betaQuantile, betaShortest, logBetaBinomial } from "../../src/numerics/beta.ts";

describe("beta distribution", () => {
  // Source: scipy.stats.beta.cdf, SciPy 1.17.1.
  test.each([
    [0.5, 5.5, 0.1, 0.7074815446042269],
    [2, 3, 0.4, 0.5248],
    [30.5, 1.5, 0.9, 0.0905002535688678],
    [1, 1, 0.3, 0.3],
    [0.5, 200.5, 0.01, 0.9551738144542495],
    [150, 3, 0.99, 0.8044236171451631],
  ])("cdf of Beta(%d, %d) at %d agrees with SciPy", (a, b, x, expected) => {
    expect(betaCdf({ a, b }, x)).toBeCloseTo(expected, 11);
  });

  test("its quantile undoes its cdf", () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0.3, max: 60, noNaN: true }),
        fc.double({ min: 0.3, max: 60, noNaN: true }),
        fc.double({ min: 0.001, max: 0.999, noNaN: true }),
        (a, b, p) => {
          const x = betaQuantile({ a, b }, p);
          // Near 1 the spacing of doubles limits what x can say, so compare where it can.
          fc.pre(x > 1e-12 && x < 1 - 1e-8);
          expect(betaCdf({ a, b }, x)).toBeCloseTo(p, 8);
        },
      ),
      { numRuns: 100 },
    );
  });

  // Source: Brown, Cai & DasGupta, Interval estimation for a binomial proportion (2001), table of
  // 95 % Jeffreys limits, n = 7 (memory; agrees with SciPy 1.17.1).
  test.each([
    [1, 0.016, 0.501],
    [2, 0.065, 0.648],
    [3, 0.139, 0.766],
  ])("Jeffreys limits of %d in 7 agree with the published table", (x, low, high) => {
    const posterior = { a: x + 0.5, b: 7 - x + 0.5 };
    expect(Math.abs(betaQuantile(posterior, 0.025) - low)).toBeLessThan(6e-4);
    expect(Math.abs(betaQuantile(posterior, 0.975) - high)).toBeLessThan(6e-4);
  });

  // Source: the equal-tailed quantities of SciPy 1.17.1 at five tries; the upper Clopper-Pearson
  // limit of 0 in 5, 0.522, is in every printed table of exact limits (memory).
  test("Clopper-Pearson limits at five tries come out of the same quantile", () => {
    expect(betaQuantile({ a: 1, b: 5 }, 0.975)).toBeCloseTo(0.5218237501, 9);
    expect(betaQuantile({ a: 2, b: 4 }, 0.975)).toBeCloseTo(0.7164179361, 9);
    expect(betaQuantile({ a: 1, b: 5 }, 0.025)).toBeCloseTo(0.0050507634, 9);
  });

  test("the shortest interval holds its mass and no shift of it is shorter", () => {
    for (const beta of [
      { a: 3, b: 9 },
      { a: 0.5, b: 5.5 },
      { a: 6.5, b: 0.7 },
      { a: 20, b: 4 },
    ]) {
      const [low, high] = betaShortest(beta, 0.9);
      expect(betaCdf(beta, high) - betaCdf(beta, low)).toBeCloseTo(0.9, 8);
      for (let tail = 0; tail <= 0.1; tail += 0.005) {
        const width = betaQuantile(beta, tail + 0.9) - betaQuantile(beta, tail);
        expect(high - low).toBeLessThanOrEqual(width + 1e-9);
      }
    }
  });
});

describe("beta-binomial", () => {
  // Source: fit to 6115 families of 12 (Saxony, 19th century), a = 34.13515, b = 31.6085, expected
  // families as printed in the encyclopaedia's article on the distribution (memory; the observed
  // counts 3, 24, 104, ... were seen, the expected ones agree with SciPy 1.17.1 within 0.2).
  test("fitted sibship frequencies agree with the published ones", () => {
    const printed = [
      2.3, 22.6, 104.8, 310.9, 655.7, 1036.2, 1257.9, 1182.1, 853.6, 461.9, 177.9, 43.8, 5.2,
    ];
    printed.forEach((families, boys) => {
      const ours = 6115 * Math.exp(logBetaBinomial({ a: 34.13515, b: 31.6085 }, boys, 12));
      expect(Math.abs(ours - families)).toBeLessThan(0.2);
    });
  });

  // Source: Laplace's rule of succession (computed): with Beta(1, 1), all counts are alike.
  test("under a flat prior every count of n is equally likely", () => {
    for (let hits = 0; hits <= 5; hits += 1)
      expect(Math.exp(logBetaBinomial({ a: 1, b: 1 }, hits, 5))).toBeCloseTo(1 / 6, 12);
  });

  // Source: check values G8-09 (computed): 8 of 10 under a flat prior makes the next one 0.75.
  test("the next one after 8 of 10 is three quarters likely", () => {
    expect(Math.exp(logBetaBinomial({ a: 9, b: 3 }, 1, 1))).toBeCloseTo(0.75, 12);
  });
});
