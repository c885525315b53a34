import { expect, test } from "vitest";
import { ownLikelihoods } from "../../src/diagnosis/own-likelihoods.ts";
import type { PosedWalk } from "../../src/diagnosis/walk-problem.ts";
import type { WalkInference } from "../../src/inference/infer.ts";
import { smallPool } from "../reference/builders.ts";

test("the largest likelihood is 1, what is next to nothing 1e-9, and of two faults each by its mean", () => {
  const pinned = {
    sound: 2,
    first: [Float64Array.of(4, 1, 0), Float64Array.of(1, 3, 2)],
    steady: [new Float64Array(5), Float64Array.of(1, 2, 3, 0, 2)],
    shaky: [new Float64Array(5), Float64Array.of(4, 2, 1, 1, 4)],
  };
  const { circuits } = smallPool([1], ["a"]);
  const [own] = ownLikelihoods(
    { circuits } as PosedWalk,
    { circuits: [{ pinned }] } as unknown as WalkInference,
  );
  expect(own).toEqual({
    ...{ lane: 1, device: "a", end: null, sound: 0.5 },
    first: [
      [1, 0.25, 1e-9],
      [0.25, 0.75, 0.5],
    ],
    steady: [
      [1, 1, 1, 1],
      [0.5, 1, 1.5, 1e-9],
    ],
    shaky: [
      [1, 1, 1, 1],
      [1, 0.5, 0.25, 0.25],
    ],
  });
});
