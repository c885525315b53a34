import { expect, test } from "vitest";
import { matrixExponential } from "../../src/numerics/matrix-exponential.ts";

/** Moler & Van Loan (2003), the example on which a plain Taylor series fails; from memory. */
test("the published matrix that breaks a plain series comes out right", () => {
  const found = matrixExponential(Float64Array.of(-49, 24, -64, 31), 2);
  [-0.735759, 0.551819, -1.471518, 1.103638].forEach((value, i) => {
    expect(found[i]).toBeCloseTo(value, 6);
  });
});

test("a rotation's generator gives sine and cosine", () => {
  const found = matrixExponential(Float64Array.of(0, 3, -3, 0), 2);
  expect(found[0]).toBeCloseTo(Math.cos(3), 12);
  expect(found[1]).toBeCloseTo(Math.sin(3), 12);
});

test("two states that come and go: the closed form", () => {
  // P(1 at t | 0) = a / (a + b) (1 - exp(-(a + b) t))
  const [a, b, t] = [0.02, 0.01, 40];
  const found = matrixExponential(Float64Array.of(-a * t, a * t, b * t, -b * t), 2);
  expect(found[1]).toBeCloseTo((a / (a + b)) * (1 - Math.exp(-(a + b) * t)), 12);
  expect(found[0]! + found[1]!).toBeCloseTo(1, 12);
});
