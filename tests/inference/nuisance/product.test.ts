import { describe, expect, test } from "vitest";
import type { Kind } from "../../../src/inference/nuisance/coordinates.ts";
import { crossIntegral } from "../../../src/inference/nuisance/cross.ts";
import { planeIntegral } from "../../../src/inference/nuisance/plane.ts";
import { productIntegral } from "../../../src/inference/nuisance/product.ts";

/**
 * Mixtures of normals whose numbers hang together: their mass, means, variances and quantiles are known.
 * Three rules integrate them: panels along the first number and a product across it, a sparse grid, and
 * panels along the first two.
 */
interface Hill {
  readonly part: number;
  readonly mean: readonly number[];
  /** Columns of a root of the covariance, lower triangle. */
  readonly root: readonly (readonly number[])[];
}
const fitOf = ({ mean, root }: Hill) => ({
  mean: Float64Array.from(mean),
  root: root.map((column) => Float64Array.from(column)),
});
/** ln of a hill's density, by forward substitution. */
function logOf({ part, mean, root }: Hill, point: Float64Array): number {
  const off = Array.from(point, (x, i) => x - mean[i]!);
  return root.reduce((log, column, i) => {
    const z = off[i]! / column[i]!;
    for (let row = i; row < off.length; row++) off[row]! -= column[row]! * z;
    return log - 0.5 * z * z - Math.log(column[i]! * Math.sqrt(2 * Math.PI));
  }, Math.log(part));
}
const logDensity = (hills: readonly Hill[]) => (point: Float64Array) =>
  Math.log(hills.reduce((sum, hill) => sum + Math.exp(logOf(hill, point)), 0));
/** What the rules are given to find: the mass times e^log, and the first number. */
const evaluated =
  (hills: readonly Hill[], log = -40, more: (point: Float64Array) => number = () => 0) =>
  (points: readonly Float64Array[]) =>
    points.map((point) => ({
      logPosterior: logDensity(hills)(point) + log + more(point),
      found: point[0]!,
    }));
type Nodes = readonly {
  readonly point: Float64Array;
  readonly weight: number;
  readonly alone: number;
}[];
const meanOf = (nodes: Nodes, of: (point: Float64Array) => number) =>
  nodes.reduce((sum, { point, weight }) => sum + weight * of(point), 0);

const lone: Hill = {
  part: 1,
  mean: [4.9, 0.01, -0.1],
  root: [
    [0.01, 0.004, 0.05],
    [0, 0.01, -0.02],
    [0, 0, 0.2],
  ],
};
const far: Hill = {
  part: 0.3,
  mean: [5.02, -0.01, 0.2],
  root: [
    [0.02, 0, -0.04],
    [0, 0.012, 0],
    [0, 0, 0.1],
  ],
};
const both = [{ ...lone, part: 0.7 }, far];
const kinds: readonly Kind[] = ["shown", "drift", "scale"];
const variance = ({ root }: Hill, i: number) =>
  root.reduce((sum, column) => sum + column[i]! ** 2, 0);

/** The same whatever is left out. */
const only = <Of>(all: Of) => ({ wholly: all, lightly: all, sparsely: all });

const rules = {
  product: (hills: readonly Hill[], coarse: boolean, log?: number) =>
    productIntegral(hills.map(fitOf), kinds, 0.02, coarse, evaluated(hills, log)),
  cross: (hills: readonly Hill[], coarse: boolean, log?: number) => {
    return crossIntegral(hills.map(fitOf), kinds, 0.02, coarse, only(evaluated(hills, log)))!;
  },
  plane: (hills: readonly Hill[], coarse: boolean, log?: number) =>
    planeIntegral(
      hills.map(fitOf),
      ["shown", "shown", "scale"],
      0.02,
      coarse,
      evaluated(hills, log),
    ),
};

describe.each(["product", "cross", "plane"] as const)("by a %s", (name) => {
  test.each([false, true])(
    "a normal has its mass, its means and its widths (coarse: %s)",
    (coarse) => {
      const { logMass, nodes } = rules[name]([lone], coarse);
      expect(Math.abs(logMass + 40)).toBeLessThan(coarse ? 0.01 : 0.002);
      expect(meanOf(nodes, () => 1)).toBeCloseTo(1, 9);
      expect(nodes.reduce((sum, { alone }) => sum + alone, 0)).toBeCloseTo(1, 9);
      for (const i of [0, 1, 2]) {
        const sd = Math.sqrt(variance(lone, i));
        const mean = meanOf(nodes, (point) => point[i]!);
        expect(Math.abs(mean - lone.mean[i]!)).toBeLessThan(0.02 * sd);
        const square = meanOf(nodes, (point) => (point[i]! - lone.mean[i]!) ** 2);
        expect(Math.abs(square / sd ** 2 - 1)).toBeLessThan(name === "plane" ? 0.05 : 0.03);
      }
      // And hangs together: the covariance of the first with the third.
      const together = meanOf(nodes, ([a, , c]) => (a! - 4.9) * (c! + 0.1));
      expect(Math.abs(together / (0.01 * 0.05) - 1)).toBeLessThan(0.05);
      for (const { point, found } of nodes) expect(found).toBe(point[0]);
    },
  );

  test.each([false, true])("two hills have theirs (coarse: %s)", (coarse) => {
    const { logMass, nodes } = rules[name](both, coarse);
    expect(Math.abs(logMass + 40)).toBeLessThan(coarse ? 0.03 : 0.005);
    const share = meanOf(nodes, ([y]) => (y! > 4.96 ? 1 : 0));
    expect(Math.abs(share - 0.3)).toBeLessThan(coarse ? 0.02 : 0.004);
    for (const i of [0, 1, 2]) {
      const mean = 0.7 * lone.mean[i]! + 0.3 * far.mean[i]!;
      expect(Math.abs(meanOf(nodes, (point) => point[i]!) - mean)).toBeLessThan(
        (coarse ? 0.15 : 0.05) * Math.sqrt(variance(far, i)),
      );
    }
  });

  test("nodes that come to nothing are left out", () => {
    const { nodes } = rules[name](both, false);
    for (const { weight } of nodes) expect(Math.abs(weight)).toBeGreaterThan(1e-6);
    expect(nodes.length).toBeLessThan(2000);
    expect(rules[name]([lone], true).nodes.length).toBeLessThan(
      rules[name]([lone], false).nodes.length,
    );
  });

  test("a mass of any size is the same but for its size", () => {
    const [small, large] = [-700, 650].map((log) => rules[name](both, false, log));
    expect(small!.logMass + 700).toBeCloseTo(large!.logMass - 650, 9);
    expect(small!.nodes.length).toBe(large!.nodes.length);
  });
});

test("along the first number the quantiles are its own", () => {
  for (const name of ["product", "cross"] as const) {
    const { first } = rules[name]([lone], false);
    expect(first!.median).toBeCloseTo(4.9, 5);
    expect(first!.low).toBeCloseTo(4.9 - 0.01 * 1.644854, 4);
    expect(first!.high).toBeCloseTo(4.9 + 0.01 * 1.644854, 4);
  }
});

test("a finer noise asks for more nodes along the first number", () => {
  const count = (noise: number) =>
    productIntegral([fitOf(lone)], ["shown"], noise, false, evaluated([lone])).nodes.length;
  const wide = { ...lone, mean: [5], root: [[0.1]] };
  const counted = (noise: number) =>
    productIntegral([fitOf(wide)], ["shown"], noise, false, evaluated([wide])).nodes.length;
  expect(count(0.02)).toBeGreaterThan(3);
  expect(counted(0.02)).toBeGreaterThan(counted(0.2));
});

describe("a sparse grid", () => {
  const asked = (
    more: (point: Float64Array) => number,
    outlined: (point: Float64Array) => number,
    hills = [lone],
  ) => {
    const outline = evaluated(hills, -40, outlined);
    return crossIntegral(hills.map(fitOf), kinds, 0.02, false, {
      wholly: evaluated(hills, -40, more),
      lightly: outline,
      sparsely: outline,
    })!;
  };

  test("by an outline has what the whole posterior is of it along its middle", () => {
    // The outline lacks a factor of the first number: e^(30 (y - 4.9)) moves the mean by 30 variances.
    const tilt = ([y]: Float64Array) => 30 * (y! - 4.9);
    const { logMass, nodes } = asked(tilt, () => 0);
    expect(logMass + 40).toBeCloseTo(0.5 * (30 * 0.01) ** 2, 3);
    const moved = nodes.filter(({ alone }) => alone > 0);
    const mean = moved.reduce((sum, { point, alone }) => sum + alone * point[0]!, 0);
    expect(mean).toBeCloseTo(4.9 + 30 * 0.01 ** 2, 4);
    // A constant that it lacks is in the mass.
    expect(
      asked(
        () => 0,
        () => -0.4,
      ).logMass + 40,
    ).toBeCloseTo(0, 3);
  });

  test("a hill of little mass has few nodes, one of next to none is none", () => {
    const withPart = (part: number) => {
      const hills = [
        { ...lone, part: 1 - part },
        { ...far, part },
      ];
      return asked(
        () => 0,
        () => 0,
        hills,
      ).nodes.filter(({ point: [y] }) => y! > 4.96).length;
    };
    const counts = [0.3, 0.02, 1e-7].map(withPart);
    expect(counts[0]).toBeGreaterThan(counts[1]!);
    expect(counts[1]).toBeGreaterThan(0);
    expect(counts[2]).toBe(0);
  });

  test("on which nothing lies beside the middle is none", () => {
    // The coarse rule of an even number of nodes has none at the middle of the drift.
    const ridge = {
      ...lone,
      root: [
        [0.01, 0, 0],
        [0, 0.01, 0],
        [0, 0, 0.2],
      ],
    };
    const thin = ([, b]: Float64Array) =>
      Math.abs(b! - 0.01) > 1e-9 ? Number.NEGATIVE_INFINITY : 0;
    const evaluate = only(evaluated([ridge], -40, thin));
    expect(crossIntegral([fitOf(ridge)], kinds, 0.02, true, evaluate)).toBeNull();
    expect(crossIntegral([fitOf(ridge)], kinds, 0.02, false, evaluate)).not.toBeNull();
  });
});

test("where a likelihood is nothing at the middle, a product has no node", () => {
  const cliff = ([y]: Float64Array) => (y! < 4.9 ? Number.NEGATIVE_INFINITY : 0);
  const { logMass, nodes } = productIntegral(
    [fitOf(lone)],
    kinds,
    0.02,
    false,
    evaluated([lone], -40, cliff),
  );
  expect(Math.abs(logMass + 40 - Math.log(0.5))).toBeLessThan(0.05);
  for (const { point } of nodes) expect(point[0]).toBeGreaterThan(4.899);
});
