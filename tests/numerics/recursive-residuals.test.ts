import fc from "fast-check";
import { linearRegression } from "simple-statistics";
import { expect, test } from "vitest";
import { recursiveResiduals } from "../../src/numerics/recursive-residuals.ts";

const rows = fc.array(fc.double({ min: -5, max: 5, noNaN: true }), { minLength: 3, maxLength: 40 });

// Brown, Durbin and Evans 1975, lemma 2 (from memory): their squares add up to the residual sum of
// squares of one regression over all values; simple-statistics is the reference for that.
test("squares sum to those of one least-squares line", () => {
  fc.assert(
    fc.property(rows, (row) => {
      const { m, b } = linearRegression(row.map((y, x) => [x, y]));
      const left = row.reduce((sum, y, x) => sum + (y - b - m * x) ** 2, 0);
      const found = recursiveResiduals(row).reduce((sum, w) => sum + w * w, 0);
      expect(found).toBeCloseTo(left, 6);
    }),
  );
});

test("a line added to the row changes nothing", () => {
  fc.assert(
    fc.property(rows, (row) => {
      const tilted = recursiveResiduals(row.map((y, x) => y + 3 - 0.7 * x));
      recursiveResiduals(row).forEach((w, i) => {
        expect(tilted[i]).toBeCloseTo(w, 6);
      });
    }),
  );
});

test("two values leave nothing", () => {
  expect(recursiveResiduals([1, 2])).toEqual([]);
});
