import { expect, test } from "vitest";
import { oddnessOf } from "../../../src/diagnosis/fit/oddness.ts";
import { normalCdf } from "../../../src/numerics/normal.ts";
import { recursiveResiduals } from "../../../src/numerics/recursive-residuals.ts";
import { runsOf } from "../../../src/numerics/runs.ts";

const at = (u: number) => ({ below: u, same: 0 });

test("one odd value among four: the least two-sided p to Šidák's power", () => {
  // By hand: q = 0.002; 1 - 0.998^4 = 0.007976.
  const { p, by } = oddnessOf([at(0.4), at(0.001), at(0.6), at(0.5)]);
  expect(p).toBeCloseTo(0.007976, 6);
  expect(by).toBe("single");
});

test("values none of which is odd by itself, the first half high and the second low, are odd", () => {
  const row = Array.from({ length: 24 }, (_, i) => at(i < 12 ? 0.85 : 0.15));
  expect(oddnessOf(row).p).toBeLessThan(0.001);
  const turned = Array.from({ length: 24 }, (_, i) => at(i % 2 ? 0.85 : 0.15));
  expect(oddnessOf(turned).p).toBeGreaterThan(0.5);
});

test("no reading is no oddness", () => {
  expect(oddnessOf([]).p).toBe(1);
});

test("what nobody could expect counts as odd as arithmetic can tell, on either side", () => {
  const [low, high] = [oddnessOf([at(0), at(0.5)]), oddnessOf([at(1), at(0.5)])];
  expect(low.single[0]).toBeCloseTo(2e-12, 18);
  expect(high.single[0]).toBeCloseTo(2e-12, 15);
  expect(high.z[0]).toBeCloseTo(-low.z[0]!, 3);
  expect(low.z[0]).toBeLessThan(-7);
});

const uOf = (row: readonly number[]) => row.map((z) => at(normalCdf(z)));

test("ten values tell a run, nine do not", () => {
  const row = (n: number) => uOf(Array.from({ length: n }, (_, i) => (i < n / 2 ? 1 : -1)));
  expect(oddnessOf(row(9)).by).toBe("single");
  expect(oddnessOf(row(10)).by).not.toBe("single");
});

test("each question by itself, and the three together", () => {
  // Residuals of a line through the order have the variance 1 - h, h the diagonal of X (X'X)^-1 X': here
  // from the matrix itself. What they come to is asked of the runs of independent values.
  const together = (z: readonly number[]) => {
    const n = z.length;
    const [s1, sx, sxx] = z.reduce(([a, b, c], _, i) => [a + 1, b + i, c + i * i] as const, [
      0, 0, 0,
    ] as readonly [number, number, number]);
    const det = s1 * sxx - sx * sx;
    const h = z.map((_, i) => (sxx - 2 * i * sx + i * i * s1) / det);
    expect(h.reduce((sum, one) => sum + one, 0)).toBeCloseTo(2, 9);
    const { neighbours, level } = runsOf(
      recursiveResiduals(z.map((v, i) => v * Math.sqrt(1 - h[i]!))),
    );
    const worst = Math.max(...z.map(Math.abs));
    const single = 1 - (1 - 2 * normalCdf(-worst)) ** n;
    const least = Math.min(single, neighbours, level);
    const by = least === single ? "single" : least === level ? "level" : "neighbours";
    return { p: 1 - (1 - least) ** 3, by };
  };
  const shift = Array.from({ length: 24 }, (_, i) => (i < 12 ? 0.9 : -0.9) + 0.4 * (-1) ** i);
  const waves = Array.from({ length: 24 }, (_, i) => (Math.floor(i / 3) % 2 === 0 ? 1.1 : -1));
  const spike = Array.from({ length: 16 }, (_, i) => (i === 5 ? 3.6 : 0.3 * (-1) ** i));
  const asked = [shift, waves, spike].map((z) => ({ z, found: oddnessOf(uOf(z)) }));
  expect(asked.map(({ found }) => found.by)).toEqual(["level", "neighbours", "single"]);
  for (const { z, found } of asked) {
    expect(found.p).toBeCloseTo(together(z).p, 7);
    expect(found.by).toBe(together(z).by);
  }
});
