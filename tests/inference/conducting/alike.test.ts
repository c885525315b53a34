import { expect, test } from "vitest";
import { alikeIn } from "../../../src/inference/conducting/alike.ts";
import type { ConductingProblem } from "../../../src/inference/problem.ts";

const leak = { medianOhms: 2000, logSd: 1.5 };
const all: readonly ConductingProblem[] = [
  { kind: "stuck", link: 3, chance: 0.005, medianOhms: 2, logSd: 1 },
  { kind: "leaking", link: 3, chance: 0.01, ...leak },
  { kind: "wet", link: 2, chance: 0.003, ...leak },
  { kind: "wet", link: 3, chance: 0.003, ...leak },
];

test("a leaking device and water at its plug are one to any reading, each with its part", () => {
  const found = alikeIn(all);
  expect(found.map(({ link, medianOhms }) => [link, medianOhms])).toEqual([
    [3, 2],
    [3, 2000],
    [2, 2000],
  ]);
  expect(found[1]!.chance).toBeCloseTo(0.013, 12);
  // 0.01 and 0.003 of 0.013.
  expect(found[1]!.parts).toEqual([0, expect.closeTo(10 / 13, 12), 0, expect.closeTo(3 / 13, 12)]);
  expect(found[0]!.parts).toEqual([1, 0, 0, 0]);
  expect(alikeIn([])).toEqual([]);
});
