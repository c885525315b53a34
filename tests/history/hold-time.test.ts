import { expect, test } from "vitest";
import { holdTime } from "../../src/history/hold-time.ts";

test("the NIST/SEMATECH censored Weibull example (8.4.1.3): shape 1.7208, scale 606.528", () => {
  // Ten failures, ten still running at 500. Mark: verified.
  const failed = [54, 187, 216, 240, 244, 335, 361, 373, 375, 386];
  const found = holdTime([
    ...failed.map((weeks) => ({ weeks, ended: true })),
    ...Array.from({ length: 10 }, () => ({ weeks: 500, ended: false })),
  ])!;
  expect(Math.abs(found.shape - 1.7207972608)).toBeLessThan(1e-8);
  expect(Math.abs(found.scale - 606.527558)).toBeLessThan(1e-5);
  expect(Math.abs(found.logLikelihood - -75.135)).toBeLessThan(6e-4);
  expect(Math.abs(found.meanWeeks - 540.737)).toBeLessThan(5e-3);
});

test("one failure does not say how failures spread", () => {
  expect(
    holdTime([
      { weeks: 3, ended: true },
      { weeks: 9, ended: false },
    ]),
  ).toBeNull();
});
