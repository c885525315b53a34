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

/** A normal times e^more, in its own standard deviations. */
const bentBy =
  (
    more: (z: readonly number[]) => number,
    at: readonly number[] = mean,
    widths: readonly number[] = sds,
  ) =>
  (points: readonly Float64Array[]) =>
    normal(
      0,
      at,
      widths,
    )(points).map((one, i) => ({
      ...one,
      logPosterior:
        one.logPosterior + more(Array.from(points[i]!, (x, k) => (x - at[k]!) / widths[k]!)),
    }));

test("what is skew along its axes is still a star: each axis by its own three nodes", () => {
  // e^(0.05 z^3) along the first: at z = sqrt 3, 0.05 x 5.196 = 0.26; mass 2/3 + (e^0.26 + e^-0.26) / 6.
  const skew = bentBy(([z]) => 0.05 * z! ** 3);
  const { logMass, nodes } = starIntegral(fitOf(mean, sds), skew)!;
  const delta = 0.05 * Math.sqrt(3) ** 3;
  const mass = 2 / 3 + (Math.exp(delta) + Math.exp(-delta)) / 6;
  expect(logMass).toBeCloseTo(Math.log(mass), 9);
  expect(nodes[1]!.weight).toBeCloseTo(Math.exp(delta) / 6 / mass, 9);
  expect(nodes[2]!.weight).toBeCloseTo(Math.exp(-delta) / 6 / mass, 9);
  expect(nodes.reduce((sum, { weight }) => sum + weight, 0)).toBeCloseTo(1, 12);
});

test("a diagonal is held against the parabolas of all axes", () => {
  // Wider by e^(0.06 z^2) along each axis: 0.18 at sqrt 3, 0.06 at 1, and 0.12 at a diagonal point.
  const wide = bentBy(([a, b]) => 0.06 * (a! ** 2 + b! ** 2));
  expect(starIntegral(fitOf(mean, sds), wide)).not.toBeNull();
  // Of what hangs together the diagonals tell: 0.34 at (1, 1) will do, 0.37 will not, on either side.
  for (const sign of [1, -1]) {
    const tied = (by: number) => bentBy(([a, b]) => sign * by * a! * b!);
    expect(starIntegral(fitOf(mean, sds), tied(0.34))).not.toBeNull();
    expect(starIntegral(fitOf(mean, sds), tied(0.37))).toBeNull();
  }
  // Three numbers, of which the first and the last hang together: both diagonals have the same sign there.
  const three = [
    [0, 0, 0],
    [1, 1, 1],
  ] as const;
  const last = (by: number) => bentBy(([a, , c]) => by * a! * c!, three[0], three[1]);
  expect(starIntegral(fitOf(...three), last(0.37))).toBeNull();
  expect(starIntegral(fitOf(...three), last(-0.37))).toBeNull();
});

test("one axis that is far off is enough to move the whole star", () => {
  const { nodes } = starIntegral(fitOf([5.015, -0.2], sds), normal(0, mean, sds))!;
  const moved = nodes[0]!.point;
  expect(Math.abs(moved[0]! - 5)).toBeLessThan(0.007);
  expect(moved[1]).toBeCloseTo(-0.2, 9);
  const wide = starIntegral(fitOf(mean, [0.02, 0.5]), normal(0, mean, sds))!;
  expect(Math.abs(wide.nodes[3]!.point[1]! - -0.2)).toBeLessThan(Math.sqrt(3) * 0.36);
});

test("what never comes near a normal has five attempts, then none", () => {
  let asked = 0;
  const flat = (points: readonly Float64Array[]) => {
    asked += points.length;
    return points.map((point) => ({ logPosterior: 10 * Math.abs(point[0]! / 0.02), found: 0 }));
  };
  expect(starIntegral(fitOf([0], [0.02]), flat)).toBeNull();
  expect(asked).toBe(15);
});
