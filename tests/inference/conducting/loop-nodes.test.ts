import { expect, test } from "vitest";
import type { CircuitModel } from "../../../src/inference/chain/circuit-model.ts";
import type { Messages } from "../../../src/inference/chain/messages.ts";
import type { Nuisance } from "../../../src/inference/chain/point-likelihoods.ts";
import {
  type LoopNode,
  logMixed,
  loopNodes,
} from "../../../src/inference/conducting/loop-nodes.ts";

/** ln D ~ Normal(ln 200, 0.4): its integral is 1, its mean 200 e^(0.08) (log-normal, textbook). */
const density = (loop: number): number => {
  const z = Math.log(loop / 200) / 0.4;
  return -0.5 * z * z - Math.log(loop * 0.4 * Math.sqrt(2 * Math.PI));
};
const sketched = [4.5, 5, 5.3, 5.6, 6].map((y) => ({ y, share: 0.2 }));
const lay = (ohms: number) => ({ loop: () => ({ ohms, perOhm: 1 }), model: {} as CircuitModel });
const sumOf = (
  nodes: readonly LoopNode[],
  log: (loop: number) => number,
  f: (loop: number) => number = () => 1,
): number =>
  nodes.reduce((sum, { loop, logWidth }) => {
    const { ohms } = loop({} as Nuisance);
    return sum + f(ohms) * Math.exp(log(ohms) + logWidth);
  }, 0);

test("few loops stand for the whole integral", () => {
  const nodes = loopNodes(0, sketched, { log: density, lay }).whole;
  expect(nodes.length).toBe(6);
  expect(sumOf(nodes, density)).toBeCloseTo(1, 2);
  expect(sumOf(nodes, density, (loop) => loop) / (200 * Math.exp(0.08))).toBeCloseTo(1, 2);
  // They stand for wider and narrower ones too, laid where they are: e^(0.2 z^2) of it either way.
  for (const bent of [-0.2, 0.2]) {
    const other = (loop: number): number =>
      density(loop) + bent * (Math.log(loop / 200) / 0.4) ** 2;
    expect(sumOf(nodes, other) * Math.sqrt(1 - 2 * bent)).toBeCloseTo(1, 1);
  }
});

test("what every loop has at least lies in front of all of them", () => {
  // D - 50 is log-normal.
  const behind = (loop: number): number => density(loop - 50);
  const nodes = loopNodes(50, sketched, { log: behind, lay }).whole;
  for (const { loop } of nodes) expect(loop({} as Nuisance).ohms).toBeGreaterThan(50);
  expect(sumOf(nodes, behind)).toBeCloseTo(1, 2);
});

/** ln of a mixture of log-normals about 200 and 20,000 ohm. */
const two =
  (part: number, width = 0.05) =>
  (loop: number): number => {
    const one = (at: number, sd: number) =>
      Math.exp(-0.5 * (Math.log(loop / at) / sd) ** 2) / (loop * sd * Math.sqrt(2 * Math.PI));
    return Math.log((1 - part) * one(200, width) + part * one(20_000, 0.1));
  };
const around = [200, 20_000].flatMap((at) =>
  [-2, -1, 0, 1, 2].map((z) => ({ y: Math.log(at) + 0.07 * z, share: 0.1 })),
);

test("hills far apart have nodes of their own, as many as their part is worth", () => {
  const countsOf = (part: number): readonly number[] => {
    const nodes = loopNodes(0, around, { log: two(part), lay }).whole;
    expect(Math.abs(sumOf(nodes, two(part)) - 1)).toBeLessThan(0.1);
    const far = nodes.filter(({ loop }) => loop({} as Nuisance).ohms > 2000);
    expect(Math.abs(sumOf(far, two(part)) - part)).toBeLessThan(0.2 * part + 2e-4);
    return [nodes.length - far.length, far.length];
  };
  expect(countsOf(0.2)).toEqual([6, 6]);
  expect(countsOf(0.03)).toEqual([6, 3]);
  expect(countsOf(0.001)).toEqual([6, 1]);
  expect(countsOf(1e-5)).toEqual([6, 0]);
  expect(countsOf(0.97)).toEqual([3, 6]);
});

test("a node is laid with its hill's middle and width", () => {
  const hills: { readonly loop: number; readonly sd: number }[] = [];
  loopNodes(0, sketched, {
    log: density,
    lay: (ohms, hill) => {
      hills.push(hill);
      return lay(ohms);
    },
  });
  expect(hills).toHaveLength(6);
  // Of the density to the power 0.65, y about ln 200: its width there is 0.4 over the root of that, in ln.
  for (const { loop, sd } of hills) {
    expect(Math.log(loop / 200)).toBeCloseTo(0, 1);
    expect(Math.abs(sd / (loop * (0.4 / Math.sqrt(0.65))) - 1)).toBeLessThan(0.05);
  }
});

test("where there is nothing no loop stands for anything", () => {
  const narrow = (loop: number): number => (loop < 150 || loop > 260 ? -200 : -Math.log(110));
  const nodes = loopNodes(0, sketched, { log: narrow, lay }).whole;
  for (const { loop } of nodes) {
    const { ohms } = loop({} as Nuisance);
    expect(ohms).toBeGreaterThan(150);
    expect(ohms).toBeLessThan(260);
  }
  expect(Math.abs(sumOf(nodes, narrow) - 1)).toBeLessThan(0.1);
});

test("a likelihood mixes its configurations by their chances, and is never nothing at all", () => {
  const messages = { likelihood: Float64Array.of(0.5, 0.25), logScale: -7 } as Messages;
  const mixed = logMixed(messages, Float64Array.of(0.2, 0.8));
  expect(mixed).toBeCloseTo(Math.log(0.2 * 0.5 + 0.8 * 0.25) - 7, 12);
  const none = { likelihood: Float64Array.of(0, -1e-20), logScale: 0 } as Messages;
  expect(logMixed(none, Float64Array.of(0.5, 0.5))).toBe(Math.log(Number.MIN_VALUE));
});

test("two loops miss a twentieth of it: they can go along with it, not stand for it", () => {
  const { sparse } = loopNodes(0, sketched, { log: density, lay });
  expect(sparse.length).toBe(2);
  expect(Math.abs(sumOf(sparse, density) - 1)).toBeLessThan(0.06);
  const mean = sumOf(sparse, density, (loop) => loop);
  expect(Math.abs(mean / (200 * Math.exp(0.08)) - 1)).toBeLessThan(0.06);
});
