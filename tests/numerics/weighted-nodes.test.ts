import { expect, test } from "vitest";
import { betaNodes, betaSteps, type Node, normalNodes } from "../../src/numerics/weighted-nodes.ts";

const mean = (nodes: readonly Node[], of: (x: number) => number): number =>
  nodes.reduce((sum, node) => sum + node.weight * of(node.value), 0);

/**
 * Abramowitz and Stegun, table 25.10, n = 5, abscissas 0.958572464613819 and 2.020182870456086 and
 * weights 0.3936193231522 and 0.01995324205905 under exp(-x^2). From memory.
 */
test("normal nodes of order 5 are the tabled Hermite ones", () => {
  const nodes = normalNodes(0, 1, 5);
  expect(nodes[4]?.value).toBeCloseTo(2.020182870456086 * Math.SQRT2, 12);
  expect(nodes[4]?.weight).toBeCloseTo(0.01995324205905 / Math.sqrt(Math.PI), 12);
  expect(nodes[3]?.value).toBeCloseTo(0.958572464613819 * Math.SQRT2, 12);
  expect(nodes[3]?.weight).toBeCloseTo(0.3936193231522 / Math.sqrt(Math.PI), 12);
  expect(nodes[2]?.value).toBeCloseTo(0, 12);
});

/** Moments of the normal distribution: 0, 1, 0, 3, 0, 15, exact up to degree 2n - 1. */
test("few normal nodes have exact moments", () => {
  for (const count of [2, 3, 12]) {
    const nodes = normalNodes(2, 0.5, count);
    expect(mean(nodes, (x) => x)).toBeCloseTo(2, 12);
    expect(mean(nodes, (x) => ((x - 2) / 0.5) ** 2)).toBeCloseTo(1, 12);
    if (count > 2) expect(mean(nodes, (x) => ((x - 2) / 0.5) ** 4)).toBeCloseTo(3, 11);
  }
  expect(normalNodes(2, 0, 12)).toEqual([{ value: 2, weight: 1 }]);
});

/** Legendre's nodes of order 3 on [-1, 1] are 0 and sqrt(3/5), weights 8/9 and 5/9 of 2. */
test("nodes of the even beta distribution are Legendre's", () => {
  const nodes = betaNodes(1, 1, 3);
  expect(nodes[2]?.value).toBeCloseTo(0.5 + 0.5 * Math.sqrt(0.6), 12);
  expect(nodes[2]?.weight).toBeCloseTo(5 / 18, 12);
  expect(nodes[1]?.weight).toBeCloseTo(8 / 18, 12);
});

/** Raw moments of beta: prod (a + i) / (a + b + i), broad and narrow, at the edge and inside. */
test("beta nodes have exact moments, and many steps nearly", () => {
  for (const [a, b] of [
    [4, 1],
    [1, 1],
    [0.5, 0.5],
    [300, 20],
    [1, 1e6],
  ] as const) {
    const first = a / (a + b);
    const second = (first * (a + 1)) / (a + b + 1);
    for (const count of [3, 20]) {
      const nodes = betaNodes(a, b, count);
      expect(mean(nodes, (x) => x) / first).toBeCloseTo(1, 8);
      expect(mean(nodes, (x) => x * x) / second).toBeCloseTo(1, 6);
    }
    const steps = betaSteps(a, b, 400);
    expect(mean(steps, (x) => x) / first).toBeCloseTo(1, 3);
    expect(mean(steps, () => 1)).toBeCloseTo(1, 12);
  }
});
