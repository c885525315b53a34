import { expect, test } from "vitest";
import { fitFound } from "../../../src/diagnosis/fit/fit-found.ts";
import type { WalkFit } from "../../../src/diagnosis/fit/walk-fit.ts";
import { poseWalk } from "../../../src/diagnosis/walk-problem.ts";
import { sheet, smallPool } from "../../reference/builders.ts";

/** A walk does not fit under p = 0.01, a circuit of a walk that fits under 0.01 over their number. */
const posed = poseWalk(
  smallPool([1, 2, 3], ["a"]),
  sheet([
    [1, "a", "plate", 4.9],
    [1, "a", "pod", 4.8],
    [2, "a", "pod", 4.7],
    [3, "a", "harness", 4.6],
    [3, "a", "harness", 4.5],
  ]),
);
const found = (
  p: number,
  worst: readonly number[],
  own: readonly (readonly [number, number])[],
) => {
  const circuits = own.map(([of, oddest]) => ({ p: of, oddest }));
  return fitFound(posed, { p, worst, circuits } satisfies WalkFit);
};
const good = [
  [1, 0],
  [1, 2],
  [1, 3],
] as const;

test("a walk that nobody asked of has no misfits, and no p", () => {
  expect(fitFound(posed, null)).toEqual({ fit: { p: null, worst: [] }, misfits: [[], [], []] });
});

test("a walk that fits is to be read again only where a circuit of it is odd by itself", () => {
  expect(found(0.5, [2, 0], good)).toEqual({
    fit: {
      p: 0.5,
      worst: [
        { lane: 2, device: "a", end: null, point: "pod" },
        { lane: 1, device: "a", end: null, point: "plate" },
      ],
    },
    misfits: [[], [], []],
  });
  // A hundredth over three circuits.
  const odd = (p: number) => found(0.5, [], [good[0], [p, 2], good[2]]).misfits;
  expect(odd(0.0033)).toEqual([[], ["pod"], []]);
  expect(odd(0.0034)).toEqual([[], [], []]);
});

test("of a walk that does not fit each circuit is read again at its worst points, else at its end", () => {
  expect(found(0.009, [4, 1, 3, 0], good).misfits).toEqual([
    ["pod", "plate"],
    ["pod"],
    ["harness"],
  ]);
});
