import { expect, test } from "vitest";
import { betaNodes, betaSteps, type Node, normalNodes } from "../../src/decision/weighted-nodes.ts";

const mean = (nodes: readonly Node[], of: (x: number) => number): number =>
  nodes.reduce((sum, node) => sum + node.weight * of(node.value), 0);

test("normal nodes have the distribution's moments", () => {
  const nodes = normalNodes(2, 0.5, 12);
  expect(mean(nodes, () => 1)).toBeCloseTo(1, 12);
  expect(mean(nodes, (x) => x)).toBeCloseTo(2, 9);
  expect(mean(nodes, (x) => (x - 2) ** 2)).toBeCloseTo(0.25, 3);
  expect(normalNodes(2, 0, 12)).toEqual([{ value: 2, weight: 1 }]);
});

/** Mean a/(a+b) and variance ab/((a+b)^2 (a+b+1)), broad and narrow, at the edge and inside. */
test("beta nodes and steps have the distribution's moments", () => {
  for (const [alpha, beta] of [
    [4, 1],
    [1, 1],
    [0.5, 0.5],
    [300, 20],
    [1, 1e6],
  ] as const)
    for (const nodes of [betaNodes(alpha, beta, 20), betaSteps(alpha, beta, 400)]) {
      const sum = alpha + beta;
      const variance = (alpha * beta) / (sum * sum * (sum + 1));
      expect(mean(nodes, () => 1)).toBeCloseTo(1, 12);
      expect(mean(nodes, (x) => x) * (sum / alpha)).toBeCloseTo(1, 3);
      expect(mean(nodes, (x) => (x - alpha / sum) ** 2) / variance).toBeCloseTo(1, 1);
    }
});
