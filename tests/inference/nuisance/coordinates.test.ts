import { expect, test } from "vitest";
import {
  coordinatesOf,
  logMixedPrior,
  logPrior,
  mainMeters,
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

const pathWith = (
  supply: number,
  meters: readonly number[],
  pressed: readonly number[] = [],
): WalkProblem["circuits"][number] => ({
  ...walk.circuits[0]!,
  supply,
  readings: [meters.map((meter) => ({ ...reading, meter }))],
  pressed: [pressed.map((meter) => ({ ...reading, meter }))],
});
const both = [walk.supplies[0]!, { emf: 6, emfSd: 0.1, sourceOhms: exactOhms(0) }];
const three = [exactOhms(1000), exactOhms(500), exactOhms(100)];

test("each supply's number by the meter that read most of it, drift and noise behind them", () => {
  const circuits = [pathWith(1, [1, 0, 1]), pathWith(0, [2])];
  const two = { ...walk, supplies: both, loads: three, driftSd: 0.02, noiseLogSd: 0.3, circuits };
  const { prior, nuisance } = coordinatesOf(two, {
    sourceOhms: [100, 500],
    loadOhms: [1000, 500, 100],
  });
  // 100 of 200 ohm, 500 of 1000: half of 5 and of 6 V.
  expect(prior).toEqual([
    { kind: "shown", mean: 2.5, sd: 0.025 },
    { kind: "shown", mean: 3, sd: 0.05 },
    { kind: "drift", mean: 0, sd: 0.02 },
    { kind: "scale", mean: 0, sd: 0.3 },
  ]);
  const at = nuisance(Float64Array.of(2.4, 3.1, 0.01, Math.log(2)));
  expect(at.emf[0]).toBeCloseTo(4.8, 12);
  expect(at.emf[1]).toBeCloseTo(6.2, 12);
  expect(at.drift).toBe(0.01);
  expect(at.noiseScale).toBeCloseTo(2, 12);
  expect(at).toMatchObject({ sourceOhms: [100, 500], loadOhms: [1000, 500, 100] });
});

test("what is known, or nobody read, has no number: the EMF is nominal, no drift, the stated noise", () => {
  const two = { ...walk, supplies: both, circuits: [pathWith(1, [0])], driftSd: 0.02 };
  const { prior, nuisance } = coordinatesOf(two, { sourceOhms: [0, 0], loadOhms: [1000] });
  // Of one reading a drift says nothing.
  expect(prior).toEqual([{ kind: "shown", mean: 6, sd: 0.1 }]);
  expect(nuisance(Float64Array.of(5.9))).toMatchObject({ emf: [5, 5.9], drift: 0, noiseScale: 1 });
  const again = { ...two, circuits: [pathWith(1, [0]), pathWith(1, [0])] };
  const more = coordinatesOf(again, { sourceOhms: [0, 0], loadOhms: [1000] });
  expect(more.prior.map(({ kind }) => kind)).toEqual(["shown", "drift"]);
  expect(more.nuisance(Float64Array.of(5.9, 0.03)).drift).toBe(0.03);
  const known = { ...again, supplies: both.map((one) => ({ ...one, emfSd: 0 })) };
  const drifting = coordinatesOf(known, { sourceOhms: [0, 0], loadOhms: [1000] });
  expect(drifting.prior.map(({ kind }) => kind)).toEqual(["drift"]);
  expect(drifting.nuisance(Float64Array.of(0.03))).toMatchObject({ emf: [5, 6], drift: 0.03 });
});

test("a supply's meter is that of most readings at rest, of a pressed switch alone where none rested", () => {
  const of = (...circuits: WalkProblem["circuits"]) =>
    mainMeters({ ...walk, supplies: both, loads: three, circuits });
  expect(of(pathWith(0, [1, 2, 2], [1, 1, 1]))).toEqual([2, null]);
  expect(of(pathWith(0, [2]), pathWith(0, [1, 1]), pathWith(1, [0]))).toEqual([1, 0]);
  expect(of(pathWith(1, [], [2]))).toEqual([null, 2]);
});
