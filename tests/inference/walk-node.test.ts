import { expect, test } from "vitest";
import type { WaysSum } from "../../src/inference/circuit-evidence.ts";
import { buildNest } from "../../src/inference/nest/nest.ts";
import { walkNode } from "../../src/inference/walk-node.ts";

const waysOf = (value: number, logScale = 0): WaysSum => ({
  ...{ logScale, values: Float64Array.of(value), ways: [] },
});
/** One run of two zeros, each in a circuit of its own: off before either with chance 0.1, then still 0.4. */
const run = { readings: [0, 1], off: [0.1, 0.1], stays: 0.4, followed: false };

test("what displays were off across circuits, each by its chance and what it makes of the rest", () => {
  // Likelihoods of a circuit: 0.02 while its zero was shown, 0.5 while the display was off.
  const asked: string[] = [];
  const { logLikelihood, displays } = walkNode(buildNest([[], []], []), [run], 2, (c, off) => {
    asked.push(`${c} ${off}`);
    return off.includes(c) ? waysOf(0.25, Math.log(2)) : waysOf(0.02);
  });
  // By equation (6) of src/MODEL.md: none 0.81, the first 0.1 x 0.6, both 0.1 x 0.4, the second 0.09.
  const parts = new Map([
    ["", 0.81 * 0.02 * 0.02],
    ["0", 0.06 * 0.5 * 0.02],
    ["0,1", 0.04 * 0.5 * 0.5],
    ["1", 0.09 * 0.02 * 0.5],
  ]);
  const whole = [...parts.values()].reduce((sum, p) => sum + p, 0);
  expect(Math.exp(logLikelihood)).toBeCloseTo(whole, 12);
  expect(displays).toHaveLength(4);
  for (const { off, probability, circuits } of displays) {
    expect(probability).toBeCloseTo(parts.get(`${off}`)! / whole, 12);
    expect(circuits).toHaveLength(2);
  }
  expect(asked).toHaveLength(8);
});

test("a case that is next to impossible beside another is left out", () => {
  const nest = buildNest([[]], []);
  const { displays } = walkNode(nest, [{ ...run, readings: [0], off: [0.1] }], 1, (_, off) =>
    waysOf(1, off.length > 0 ? 0 : -17),
  );
  // 0.9 e^-17 over 0.1 is 3.7e-7, above 1e-7; e^-19 is not.
  expect(displays).toHaveLength(2);
  const rare = walkNode(nest, [{ ...run, readings: [0], off: [0.1] }], 1, (_, off) =>
    waysOf(1, off.length > 0 ? 0 : -19),
  );
  expect(rare.displays.map(({ off, probability }) => [off, probability])).toEqual([[[0], 1]]);
});
