import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { ladderVolts, pathLadder } from "../../src/circuit/ladder.ts";
import { deviceBayesFactor, type QuestionedCircuit } from "../../src/diagnosis/device-evidence.ts";
import { deviceFaults, LEAKING, STUCK, sketchFaults } from "../../src/diagnosis/device-faults.ts";
import { FINE } from "../../src/diagnosis/device-screen.ts";
import { fallOfShare, placeOfShare, shownShare } from "../../src/diagnosis/shunted-path.ts";
import { circuitNodes, solve } from "../../src/diagnosis/solve.ts";
import type { Reading } from "../../src/domain/reading.ts";
import { ohms, volts } from "../../src/domain/units.ts";
import { integrateStretches } from "../../src/numerics/gauss-kronrod.ts";
import type { TestPool as Pool } from "../plain-pool.ts";
import { link, meter, type Shown, sheet, smallPool } from "../reference/builders.ts";
import { deviceLogEvidence, type Grid } from "../reference/device-evidence.ts";
import { readPart } from "./part.ts";

const questioned = (pool: Pool, readings: readonly Reading[]): QuestionedCircuit => {
  const walk = readPart(pool, readings);
  const { lanes, emf } = solve(walk);
  const circuit = walk.lanes[0]!.circuits[0]!;
  const model = lanes[0]!.circuits[0]!;
  return { walk, lanes, emf, l: 0, c: 0, circuit, model, nodes: circuitNodes(emf, 0, 0) };
};

/** Model, section 2: the general ladder, which is held to ngspice elsewhere. */
describe("a resting loop", () => {
  const element = fc.double({ min: 0.01, max: 5000, noNaN: true });

  test("shows what the ladder shows, at every point", () => {
    const device = fc.double({ min: 0.1, max: 1e5, noNaN: true });
    const load = fc.double({ min: 100, max: 1e7, noNaN: true });
    const steps = fc.array(element, { minLength: 1, maxLength: 5 });
    fc.assert(
      fc.property(element, steps, device, load, (source, series, rd, loadOhms) => {
        const ladder = pathLadder(volts(5), ohms(source), series.map(ohms), ohms(rd));
        const loop = series.reduce((sum, r) => sum + r, source + rd);
        let x = source;
        for (const [k, r] of series.entries()) {
          x += r;
          const expected = ladderVolts(ladder, k + 1, ohms(loadOhms));
          expect(5 * shownShare(loadOhms, x, loop)).toBeCloseTo(expected, 9);
        }
      }),
    );
  });

  test("gives back the place from the share, and its fall is the slope", () => {
    const part = fc.double({ min: 0.01, max: 0.99, noNaN: true });
    fc.assert(
      fc.property(element, part, element, (loop, at, loadOhms) => {
        const x = at * loop;
        const share = shownShare(loadOhms, x, loop);
        expect(placeOfShare(loadOhms, share, loop) / x).toBeCloseTo(1, 6);
        const h = 1e-5 * loop;
        const rise = shownShare(loadOhms, x + h, loop) - shownShare(loadOhms, x - h, loop);
        expect((-rise / (2 * h)) * loop).toBeCloseTo(fallOfShare(loadOhms, x, loop) * loop, 4);
      }),
    );
  });
});

// A 7-point Kronrod rule on a 3-point Gauss rule is exact to degree 11 (Kronrod 1965).
test("the rule is exact for polynomials up to degree 11", () => {
  for (let degree = 0; degree <= 11; degree++) {
    const found = integrateStretches((x) => x ** degree, [0, 2], 1, 0);
    expect(found / (2 ** (degree + 1) / (degree + 1))).toBeCloseTo(1, 12);
  }
});

const three = [
  link("harness", "lane", 0.6, 0.04, 0.01),
  link("plate", "lane", 2, 0.08, 0.02),
  link("pod", "device", 0.3, 0, 0.12),
];
const pathOf = (links: number, load: number, source: number, noise = 0.02): Pool =>
  smallPool([1], ["pad"], {
    chain: three.slice(3 - links),
    meters: [meter("deck", load, 0.01, noise)],
    supply: { emf: volts(5), emfSd: volts(0.05), sourceOhms: ohms(source) },
  });

interface Case {
  readonly name: string;
  readonly pool: Pool;
  readonly shown: readonly number[];
  readonly grid: Grid;
}

const wide: Grid["emf"] = [4.76, 5.24, 33];
const cases: readonly Case[] = [
  {
    name: "stuck behind a source of 200 ohm: the pod reads next to nothing",
    pool: pathOf(2, 1000, 200),
    shown: [0.06, 0.04],
    grid: { emf: wide, sound: 0.3, fouled: 0.12, loops: 200, rest: [0.1, 4000] },
  },
  {
    name: "stuck behind no source resistance: the plate less low than the pod",
    pool: pathOf(2, 1000, 0, 0.1),
    shown: [3.8, 2.9],
    grid: { emf: wide, sound: 0.25, fouled: 0.1, loops: 200, rest: [0.2, 2000] },
  },
  {
    name: "a leak of 500 ohm on a meter of 10 megohm, a pod contact of 60",
    pool: pathOf(1, 1e7, 0),
    shown: [4.47],
    grid: { emf: wide, sound: 0.4, fouled: 0.05, loops: 160 },
  },
  {
    name: "a leak of 2 kilohm on a meter of 10 megohm, a pod contact of 160",
    pool: pathOf(2, 1e7, 0),
    shown: [4.99, 4.63],
    grid: { emf: wide, sound: 0.7, fouled: 0.06, loops: 60 },
  },
  {
    name: "a leak of 10 kilohm on a meter of 10 megohm, a pod contact of 60",
    pool: pathOf(2, 1e7, 0),
    shown: [4.99, 4.97],
    grid: { emf: wide, sound: 0.7, fouled: 0.06, loops: 60 },
  },
  {
    name: "a fouled pod on a meter of 1 kilohm, which looks like a leak",
    pool: pathOf(2, 1000, 0),
    shown: [4.99, 4.6],
    grid: { emf: wide, sound: 0.7, fouled: 0.06, loops: 60 },
  },
  {
    name: "all sound on a meter of 1 kilohm",
    pool: pathOf(2, 1000, 0),
    shown: [4.99, 4.98],
    grid: { emf: wide, sound: 0.5, fouled: 0.1, loops: 80 },
  },
  {
    name: "three links, two faults, a noisy meter",
    pool: pathOf(3, 1000, 0, 0.1),
    shown: [4.95, 4.7, 4.4],
    grid: { emf: [4.72, 5.28, 13], sound: 0.8, fouled: 0.15, loops: 36 },
  },
];

/**
 * Against dense quadrature of the same model (tests/reference, which shares no code with src).
 * Where a fault speaks against itself, seven to one or more, its factor is only held to be small: the dense
 * grid cannot follow a switch of two ohms behind a contact of hundreds.
 */
describe.each(cases)("$name", ({ pool, shown, grid }) => {
  const readings = sheet(pool.chain.map(({ point }, k): Shown => [1, "pad", point, shown[k]!]));
  const asked = questioned(pool, readings);
  const plain = deviceLogEvidence(pool, readings, null, grid);
  const { rest: _, ...everywhere } = grid;
  const expected = [
    deviceLogEvidence(pool, readings, STUCK.device, grid) - plain,
    deviceLogEvidence(pool, readings, LEAKING.device, everywhere) - plain,
  ];

  test("the Bayes factors are those of brute force, within 0.01 in ln", () => {
    const sketches = sketchFaults(asked, FINE);
    for (const [n, { device }] of [STUCK, LEAKING].entries()) {
      const found = Math.log(deviceBayesFactor(asked, device, sketches[n]!.stretch));
      if (expected[n]! > -2) expect(Math.abs(found - expected[n]!)).toBeLessThan(0.01);
      else expect(found).toBeLessThan(-1.9);
    }
  }, 300_000);

  test("the probabilities are those of brute force, within 0.005", () => {
    const weights = [0.01, 0.02].map((prior, n) => prior * Math.exp(expected[n]!));
    const total = 0.97 + weights[0]! + weights[1]!;
    const found = deviceFaults(asked);
    for (const [n, { kind }] of [STUCK, LEAKING].entries()) {
      const wanted = weights[n]! / total;
      const one = found.find((explanation) => explanation.kind === kind);
      if (one === undefined) expect(wanted).toBeLessThan(0.05);
      else expect(Math.abs(one.probability - wanted)).toBeLessThan(0.005);
    }
  }, 300_000);
});

describe("the sketch that comes first", () => {
  const points = ["timer", "harness", "plate", "pod"];
  const devices = ["suspect", "b", "c", "d", "e", "f"];
  const neighbours = devices
    .slice(1)
    .flatMap((device, i) =>
      points.map((point, k): Shown => [1, device, point, 5 - 0.01 * ((i + k) % 3)]),
    );
  const meters = [meter("deck", 1000, 0.01), meter("deck", 220, 0.01), meter("deck", 1e7, 0.01)];
  const pools = [0, 60].flatMap((source) =>
    meters.map((one) =>
      smallPool([1], devices, {
        meters: [one],
        supply: { emf: volts(5), emfSd: volts(0.05), sourceOhms: ohms(source) },
      }),
    ),
  );
  const contact = fc.oneof(
    { weight: 4, arbitrary: fc.double({ min: 0.05, max: 2, noNaN: true }) },
    { weight: 1, arbitrary: fc.double({ min: 2, max: 600, noNaN: true }) },
  );
  const walk = fc.record({
    pool: fc.constantFrom(...pools),
    contacts: fc.array(contact, { minLength: 4, maxLength: 4 }),
    device: fc.oneof(
      { weight: 3, arbitrary: fc.constant(Number.POSITIVE_INFINITY) },
      { weight: 1, arbitrary: fc.double({ min: 100, max: 1e5, noNaN: true }) },
    ),
    noise: fc.array(fc.integer({ min: -4, max: 4 }), { minLength: 4, maxLength: 4 }),
    read: fc
      .array(fc.boolean(), { minLength: 4, maxLength: 4 })
      .filter((all) => all.includes(true)),
  });

  test("rules out nothing that the exact sum would print", () => {
    fc.assert(
      fc.property(walk, ({ pool, contacts, device, noise, read }) => {
        const series = contacts.map((r, k) => ohms(r + pool.chain[k]!.wireOhms));
        const { sourceOhms } = pool.supply;
        const ladder = pathLadder(volts(5), sourceOhms, series, ohms(device));
        const { loadOhms } = pool.meters[0]!;
        const own = points.map((point, k): Shown => {
          const shown = ladderVolts(ladder, k + 1, loadOhms!) + 0.01 * noise[k]!;
          return [1, "suspect", point, Number(Math.max(0, shown).toFixed(2))];
        });
        const share = loadOhms! / (loadOhms! + sourceOhms);
        const others = neighbours.map(([lane, device, point, shown]): Shown => {
          return [lane, device, point, Number((shown * share).toFixed(2))];
        });
        const rows = [...own.filter((_, k) => read[k]), ...others];
        const asked = questioned(pool, sheet(rows));
        if (deviceFaults(asked).length > 0) return;
        const weights = [STUCK, LEAKING].map(
          (fault) => fault.prior * deviceBayesFactor(asked, fault.device, null),
        );
        const total = 0.97 + weights[0]! + weights[1]!;
        for (const weight of weights) expect(weight / total).toBeLessThan(0.05);
      }),
      { numRuns: 25, seed: 1 },
    );
  }, 300_000);
});
