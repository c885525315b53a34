import { expect, test } from "vitest";
import { riseShares, stepBackward, stepForward } from "../../../src/history/growth/jumps.ts";
import { NODES } from "../../../src/history/growth/level-grid.ts";

const law = { cure: 0.7, touched: 0.4, rise: 0.5 };
const ramp = Float64Array.from({ length: NODES }, (_, i) => 1 + (i % 7));
const early = Float64Array.from({ length: NODES }, (_, i) => (i < 20 ? 1 / 20 : 0));

test("a step moves masses up by its share and size, and loses none", () => {
  const after = new Float64Array(NODES);
  stepForward(law, early, 0, after);
  expect(after.reduce((sum, mass) => sum + mass, 0)).toBeCloseTo(1, 6);
  const mean = (of: Float64Array) => of.reduce((sum, mass, i) => sum + (mass * i) / 10, 0);
  // 0.4 of an exponential of mean 0.5, in nodes of 0.1, each rise rounded up: 0.1 / (1 - exp(-0.2)).
  expect(mean(after) - mean(early)).toBeCloseTo((0.4 * 0.1) / (1 - Math.exp(-0.2)), 4);
});

test("backwards is forwards seen from the other side", () => {
  const [after, before] = [new Float64Array(NODES), new Float64Array(NODES)];
  stepForward(law, early, 0, after);
  stepBackward(law, ramp, 0, before);
  const dot = (a: Float64Array, b: Float64Array) => a.reduce((sum, one, i) => sum + one * b[i]!, 0);
  expect(dot(after, ramp)).toBeCloseTo(dot(early, before), 5);
});

test("rises are shared out wholly", () => {
  expect(riseShares(0.5).reduce((sum, share) => sum + share, 0)).toBeCloseTo(1, 9);
});
