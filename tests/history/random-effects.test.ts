import fc from "fast-check";
import { expect, test } from "vitest";
import {
  byMoments,
  byRestrictedLikelihood,
  heterogeneity,
  type Study,
} from "../../src/history/random-effects.ts";

/**
 * BCG vaccine trials (Colditz 1994), `dat.bcg` of R metadat 1.2-0: cases and non-cases, treated and
 * control. Results: R metafor 3.8-1, `rma()` with control tol 1e-12. Mark: verified.
 */
const TABLE = [
  [4, 119, 11, 128],
  [6, 300, 29, 274],
  [3, 228, 11, 209],
  [62, 13536, 248, 12619],
  [33, 5036, 47, 5761],
  [180, 1361, 372, 1079],
  [8, 2537, 10, 619],
  [505, 87886, 499, 87892],
  [29, 7470, 45, 7232],
  [17, 1699, 65, 1600],
  [186, 50448, 141, 27197],
  [5, 2493, 3, 2338],
  [27, 16886, 29, 17825],
] as const;

const trials: Study[] = TABLE.map(([a, b, c, d]) => ({
  effect: Math.log(a / (a + b) / (c / (c + d))),
  variance: 1 / a - 1 / (a + b) + 1 / c - 1 / (c + d),
}));

test("Cochran's Q of the BCG trials is 152.233", () => {
  expect(heterogeneity(trials) / 152.233008082).toBeCloseTo(1, 9);
});

test("DerSimonian-Laird on the BCG trials: tau2 0.308760, effect -0.714117 (se 0.178742)", () => {
  const found = byMoments(trials);
  expect(found.betweenVariance / 0.308760262862).toBeCloseTo(1, 9);
  expect(found.mean / -0.714117222073).toBeCloseTo(1, 9);
  expect(Math.sqrt(found.meanVariance) / 0.178742089535).toBeCloseTo(1, 9);
});

test("REML on the BCG trials: tau2 0.313243, effect -0.714532 (se 0.179782)", () => {
  const found = byRestrictedLikelihood(trials);
  expect(Math.abs(found.betweenVariance - 0.313243258)).toBeLessThan(1e-6);
  expect(Math.abs(found.mean - -0.714532342)).toBeLessThan(1e-7);
  expect(Math.abs(Math.sqrt(found.meanVariance) - 0.179781516)).toBeLessThan(1e-6);
});

/** Restricted log-likelihood of the between-study variance, straight from its definition. */
function restrictedLogLikelihood(studies: readonly Study[], between: number): number {
  const weights = studies.map(({ variance }) => 1 / (variance + between));
  const total = weights.reduce((sum, w) => sum + w, 0);
  const mean = studies.reduce((sum, { effect }, i) => sum + weights[i]! * effect, 0) / total;
  return studies.reduce(
    (sum, { effect }, i) =>
      sum + Math.log(weights[i]!) / 2 - (weights[i]! * (effect - mean) ** 2) / 2,
    -Math.log(total) / 2,
  );
}

test("no other between-study variance has a higher restricted likelihood", () => {
  const study = fc.record({
    effect: fc.double({ min: -2, max: 2, noNaN: true }),
    variance: fc.double({ min: 0.05, max: 1, noNaN: true }),
  });
  fc.assert(
    fc.property(fc.array(study, { minLength: 4, maxLength: 20 }), (studies) => {
      const { betweenVariance } = byRestrictedLikelihood(studies);
      const best = restrictedLogLikelihood(studies, betweenVariance);
      for (const factor of [0.5, 0.9, 1.1, 2]) {
        const other = restrictedLogLikelihood(studies, betweenVariance * factor);
        expect(other).toBeLessThanOrEqual(best + 1e-9);
      }
    }),
  );
});

test("a single study is its own mean, and nothing is between", () => {
  const found = byRestrictedLikelihood([{ effect: 0.3, variance: 0.04 }]);
  expect(found).toEqual({ mean: 0.3, meanVariance: 0.04, betweenVariance: 0 });
});
