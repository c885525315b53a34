import { expect, test } from "vitest";
import {
  coordinatesOf,
  logMixedPrior,
  logPrior,
} from "../../../src/inference/nuisance/coordinates.ts";
import {
  exactOhms,
  type ReadingProblem,
  type WalkProblem,
} from "../../../src/inference/problem.ts";

const reading: ReadingProblem = {
  ...{ index: 0, shown: 4, halfStep: 0.005, noise: 0.02, meter: 0, order: 0 },
  ...{ slope: 1, tails: 0, floor: 0, badMoment: 0 },
};
const walk: WalkProblem = {
  supplies: [{ emf: 5, emfSd: 0.05, sourceOhms: exactOhms(0) }],
  loads: [exactOhms(1000)],
  driftSd: 0,
  noiseLogSd: 0,
  badMoments: { fouled: 1, law: [] },
  bodies: [],
  circuits: [
    { supply: 0, links: [], readings: [[reading]], pressed: [[]], conducting: [], limitOhms: null },
  ],
  zeroRuns: [],
};
const branch = { sourceOhms: [250], loadOhms: [1000] };

test("behind 250 ohm a meter of 1,000 ohm shows four fifths of the EMF", () => {
  const { prior, nuisance } = coordinatesOf(walk, branch);
  expect(prior[0]!.mean).toBeCloseTo(4, 12);
  expect(prior[0]!.sd).toBeCloseTo(0.04, 12);
  expect(nuisance(Float64Array.of(3.96)).emf[0]).toBeCloseTo(4.95, 12);
});

test("the prior is one of the EMF still: normal, its integral 1", () => {
  const coordinates = coordinatesOf(walk, branch);
  let sum = 0;
  for (let y = 3.6; y < 4.4; y += 1e-4) {
    sum += Math.exp(logPrior(coordinates, Float64Array.of(y))) * 1e-4;
  }
  expect(sum).toBeCloseTo(1, 6);
});

test("several branches are a mixture, each tilted about its own place", () => {
  const one = coordinatesOf(walk, branch);
  const point = Float64Array.of(4.01);
  const parts = [
    { coordinates: one, logWeight: Math.log(0.25), tilt: null },
    { coordinates: one, logWeight: Math.log(0.5), tilt: { perVolt: 100, from: 4 } },
  ];
  const factor = 0.25 + 0.5 * Math.exp(1);
  expect(logMixedPrior(parts, point)).toBeCloseTo(logPrior(one, point) + Math.log(factor), 12);
});
