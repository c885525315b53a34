import { expect, test } from "vitest";
import type { NormalFit } from "../../../src/inference/nuisance/normal-fit.ts";
import { planeIntegral } from "../../../src/inference/nuisance/plane.ts";

// Mixtures of normals, whose integrals and means are known without any rule.

interface Hill {
  readonly mass: number;
  readonly mean: readonly number[];
  readonly sd: readonly number[];
}

const normal = (x: number, mean: number, sd: number): number =>
  Math.exp(-0.5 * ((x - mean) / sd) ** 2) / (sd * Math.sqrt(2 * Math.PI));

const densityOf =
  (hills: readonly Hill[]) =>
  (point: Float64Array): number =>
    hills.reduce(
      (sum, { mass, mean, sd }) =>
        sum + point.reduce((product, x, i) => product * normal(x, mean[i]!, sd[i]!), mass),
      0,
    );

const fitOf = ({ mean, sd }: Hill): NormalFit => ({
  mean: Float64Array.from(mean),
  root: sd.map((own, axis) => Float64Array.from(sd, (_, row) => (row === axis ? own : 0))),
});

const integral = (hills: readonly Hill[]) => {
  const density = densityOf(hills);
  return planeIntegral(hills.map(fitOf), ["shown", "shown", "scale"], 0.02, false, (points) =>
    points.map((point) => ({ logPosterior: Math.log(density(point)), found: null })),
  );
};

test.each<[string, readonly Hill[]]>([
  ["one hill", [{ mass: 0.3, mean: [5, 4.9, 0], sd: [0.02, 0.03, 0.3] }]],
  [
    "the second supply nominal with a fault, or low",
    [
      { mass: 0.75, mean: [5, 4.99, -0.2], sd: [0.01, 0.05, 0.3] },
      { mass: 0.25, mean: [5, 4.8, -0.3], sd: [0.01, 0.01, 0.25] },
    ],
  ],
  [
    "either supply",
    [
      { mass: 2, mean: [5, 5, 0], sd: [0.03, 0.05, 0.3] },
      { mass: 1, mean: [5, 4.8, 0], sd: [0.03, 0.01, 0.3] },
      { mass: 1, mean: [4.85, 5, 0], sd: [0.01, 0.05, 0.3] },
      { mass: 0.5, mean: [4.85, 4.8, 0], sd: [0.01, 0.01, 0.3] },
    ],
  ],
])("the mass and the means of %s", (_, hills) => {
  const { logMass, nodes } = integral(hills);
  const whole = hills.reduce((sum, { mass }) => sum + mass, 0);
  expect(logMass).toBeCloseTo(Math.log(whole), 2);
  expect(nodes.reduce((sum, { weight }) => sum + weight, 0)).toBeCloseTo(1, 12);
  for (const axis of [0, 1, 2]) {
    const mean = hills.reduce((sum, own) => sum + (own.mass * own.mean[axis]!) / whole, 0);
    const found = nodes.reduce((sum, { weight, point }) => sum + weight * point[axis]!, 0);
    expect(found).toBeCloseTo(mean, 3);
  }
});
