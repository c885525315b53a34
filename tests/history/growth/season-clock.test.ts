import { expect, test } from "vitest";
import { clockAt, idleStretches } from "../../../src/history/growth/season-clock.ts";

const weekly = [0, 7, 14, 21, 28, 70, 77, 84];

test("a gap of six weeks among weekly walks is idle, but for the week that any gap has", () => {
  expect(idleStretches(Float64Array.from(weekly))).toEqual([[31.5, 66.5]]);
  expect(idleStretches(Float64Array.from([0, 7, 14, 28, 35]))).toEqual([]);
});

test("idle weeks count by their factor: five weeks at a fifth are one", () => {
  const clock = { idle: idleStretches(Float64Array.from(weekly)), factor: 0.2 };
  expect(clockAt(clock, 28)).toBeCloseTo(4, 12);
  expect(clockAt(clock, 70)).toBeCloseTo(4 + 1 + 1, 12);
  expect(clockAt({ ...clock, factor: 1 }, 70)).toBeCloseTo(10, 12);
});
