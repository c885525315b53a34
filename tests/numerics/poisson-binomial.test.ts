import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { enough, poissonBinomial } from "../../src/numerics/poisson-binomial.ts";

describe("Poisson-binomial", () => {
  // By hand: 0.1, 0.2, 0.3 -> none 0.9*0.8*0.7 = 0.504; one 0.398; two 0.092; three 0.006.
  test("three unlike coins", () => {
    const count = poissonBinomial([0.1, 0.2, 0.3]);
    [0.504, 0.398, 0.092, 0.006].forEach((p, k) => {
      expect(count[k]).toBeCloseTo(p, 12);
    });
    expect(enough(count, 0.9)).toBe(1);
    expect(enough(count, 0.95)).toBe(2);
  });

  // Independent: every outcome enumerated.
  test("equals enumeration", () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: 0, max: 1, noNaN: true }), { maxLength: 9 }),
        (probabilities) => {
          const brute = new Array(probabilities.length + 1).fill(0);
          for (let bits = 0; bits < 2 ** probabilities.length; bits += 1) {
            let share = 1;
            let hits = 0;
            probabilities.forEach((p, i) => {
              const hit = (bits >> i) & 1;
              share *= hit === 1 ? p : 1 - p;
              hits += hit;
            });
            brute[hits] += share;
          }
          const count = poissonBinomial(probabilities);
          brute.forEach((p, k) => {
            expect(count[k]).toBeCloseTo(p, 10);
          });
        },
      ),
      { numRuns: 60 },
    );
  });
});
