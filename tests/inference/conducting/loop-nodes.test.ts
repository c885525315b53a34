import { expect, test } from "vitest";
import type { CircuitModel } from "../../../src/inference/chain/circuit-model.ts";
import type { Nuisance } from "../../../src/inference/chain/point-likelihoods.ts";
import { loopNodes } from "../../../src/inference/conducting/loop-nodes.ts";

/** ln D ~ Normal(ln 200, 0.4): its integral is 1, its mean 200 e^(0.08) (log-normal, textbook). */
const density = (loop: number): number => {
  const z = Math.log(loop / 200) / 0.4;
  return -0.5 * z * z - Math.log(loop * 0.4 * Math.sqrt(2 * Math.PI));
};
const sketched = [4.5, 5, 5.3, 5.6, 6].map((y) => ({ y, share: 0.2 }));
const nodes = loopNodes(0, sketched, {
  log: density,
  lay: (ohms) => ({ loop: () => ({ ohms, perOhm: 1 }), model: {} as CircuitModel }),
});

const sumOf = (f: (loop: number) => number): number =>
  nodes.reduce((sum, { loop, logWidth }) => {
    const { ohms } = loop({} as Nuisance);
    return sum + f(ohms) * Math.exp(density(ohms) + logWidth);
  }, 0);

test("few loops stand for the whole integral", () => {
  expect(nodes.length).toBe(6);
  expect(sumOf(() => 1)).toBeCloseTo(1, 2);
  expect(sumOf((loop) => loop) / (200 * Math.exp(0.08))).toBeCloseTo(1, 2);
});
