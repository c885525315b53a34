import { expect, test } from "vitest";
import { learnClass, weighLaws } from "../../../src/history/growth/class-growth.ts";
import { growthRows, rowRange } from "../../../src/history/growth/growth-rows.ts";

const shareOf = (rows: Float64Array, kind: "flat" | "log" | "ohm"): number =>
  rows.subarray(...rowRange[kind]).reduce((sum, share) => sum + share, 0);

test("before any contact, one in two does not grow, by either law", () => {
  const { anew } = learnClass([]);
  for (const law of [0, 1]) expect(anew[law]![0]).toBeCloseTo(0.5, 9);
  expect(shareOf(anew[0]!, "log")).toBeCloseTo(0.5, 9);
  expect(shareOf(anew[1]!, "ohm")).toBeCloseTo(0.5, 9);
});

/** Laplace's rule of succession: k of n, evenly before, gives (k + 1) / (n + 2) for the next. */
test("contacts that surely do not grow count by the rule of succession", () => {
  const still = Float64Array.from(growthRows, ({ kind }) => (kind === "flat" ? 0 : -600));
  const { anew } = learnClass(Array.from({ length: 8 }, () => still));
  expect(anew[0]![0]).toBeCloseTo(9 / 10, 2);
});

/** Two classes alike, Beta(1/2, 1/2): one sure of ohms makes the other 3/4 (by hand: 1.5 / 2). */
test("a class that surely grows in ohms makes it likelier of the next", () => {
  const [sure, other] = weighLaws([
    [-1000, 0],
    [0, 0],
  ]);
  expect(sure).toBeCloseTo(1, 9);
  expect(other).toBeCloseTo(0.75, 9);
  expect(weighLaws([[0, 0]])[0]).toBeCloseTo(0.5, 9);
});
