import { expect, test } from "vitest";
import { starIntegral } from "../../../src/inference/nuisance/star.ts";

const fitOf = (mean: readonly number[], sds: readonly number[]) => ({
  mean: Float64Array.from(mean),
  root: sds.map((sd, i) => Float64Array.from(sds, (_, row) => (row === i ? sd : 0))),
});
/** ln of a normal density, all of mass e^log (Abramowitz & Stegun 26.2.1). */
const normal =
  (log: number, mean: readonly number[], sds: readonly number[]) =>
  (points: readonly Float64Array[]) =>
    points.map((point) => ({
      logPosterior: point.reduce((sum, x, i) => {
        const z = (x - mean[i]!) / sds[i]!;
        return sum - 0.5 * z * z - Math.log(sds[i]! * Math.sqrt(2 * Math.PI));
      }, log),
      found: point[0]!,
    }));
const mean = [5, -0.2];
const sds = [0.02, 0.3];

test("a normal that is laid on itself: its mass, and the three-node rule on each axis", () => {
  const { logMass, nodes } = starIntegral(fitOf(mean, sds), normal(-7, mean, sds))!;
  expect(logMass).toBeCloseTo(-7, 12);
  // Gauss-Hermite of three nodes: 1/6 at sqrt(3); the centre of two axes has 1 - 4/6.
  expect(nodes.map(({ weight }) => weight)).toEqual([
    expect.closeTo(1 / 3, 12),
    ...[1, 2, 3, 4].map(() => expect.closeTo(1 / 6, 12)),
  ]);
  expect(nodes.map(({ alone }) => alone)).toEqual([1, 0, 0, 0, 0]);
  const moment = (i: number, power: number) =>
    nodes.reduce((sum, { weight, point }) => sum + weight * (point[i]! - mean[i]!) ** power, 0);
  for (const i of [0, 1]) {
    expect(moment(i, 1)).toBeCloseTo(0, 12);
    expect(moment(i, 2)).toBeCloseTo(sds[i]! ** 2, 12);
  }
  for (const { point, found } of nodes) expect(found).toBe(point[0]);
});

test("a normal laid beside, too wide or too narrow, is found in a few moves", () => {
  for (const [from, widths] of [
    [[5.015, 0], sds],
    [mean, [0.035, 0.5]],
    [mean, [0.012, 0.2]],
  ] as const) {
    const { logMass, nodes } = starIntegral(fitOf(from, widths), normal(3, mean, sds))!;
    expect(Math.abs(logMass - 3)).toBeLessThan(0.05);
    const at = nodes.reduce((sum, { weight, point }) => sum + weight * point[0]!, 0);
    expect(Math.abs(at - 5)).toBeLessThan(0.004);
  }
});

test("one number needs no diagonal", () => {
  const { nodes, logMass } = starIntegral(fitOf([1], [2]), normal(0, [1], [2]))!;
  expect(nodes).toHaveLength(3);
  expect(logMass).toBeCloseTo(0, 12);
});

test("two hills, or numbers that hang together, are no star, unless they come to little", () => {
  const twisted = (points: readonly Float64Array[]) =>
    normal(
      0,
      mean,
      sds,
    )(points).map((one, i) => {
      const [a, b] = points[i]!.map((x, k) => (x - mean[k]!) / sds[k]!);
      return { ...one, logPosterior: one.logPosterior + 0.9 * a! * b! };
    });
  expect(starIntegral(fitOf(mean, sds), twisted)).toBeNull();
  expect(starIntegral(fitOf(mean, sds), twisted, 1)).not.toBeNull();
  expect(starIntegral(fitOf(mean, sds), twisted, -1)).toBeNull();
});
