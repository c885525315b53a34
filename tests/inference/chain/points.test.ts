import { describe, expect, test } from "vitest";
import { blockShelf, contactKernel } from "../../../src/inference/chain/contact-kernel.ts";
import { buildMesh, panelTree } from "../../../src/inference/chain/mesh.ts";
import { pathBeyond } from "../../../src/inference/chain/path-beyond.ts";
import {
  emfAt,
  loopedVolts,
  pointLikelihoods,
  seriesVolts,
  wireOhmsTo,
} from "../../../src/inference/chain/point-likelihoods.ts";
import { belowAt, likelihoodAt } from "../../../src/inference/chain/reading-likelihood.ts";
import type { ReadingProblem } from "../../../src/inference/problem.ts";
import { lessChance, loopShown, placesOf, seriesShown, shownChance } from "../path-leaves.ts";
import { chances, circuit, fouled, link, reading } from "../small-walks.ts";

/** One display and one path by the equations of `src/MODEL.md`, which `path-leaves.ts` has by itself. */
const displays: readonly ReadingProblem[] = [
  reading(0, 4.5),
  reading(0, 0),
  reading(0, 4.5, { tails: 0 }),
  reading(0, 3.2, { noise: 0.02, halfStep: 0.005, slope: 0.7, floor: 0.1 }),
];

describe("what a display says of the volts", () => {
  test.each([0, 0.03, 2.9, 3.18, 3.2, 4.3, 4.45, 4.52, 5, 9])("at %d V", (volts) => {
    for (const display of displays) {
      for (const scale of [1, 0.5, 3]) {
        const found = likelihoodAt(display, volts, scale);
        expect(Math.abs(found - shownChance(display, volts, scale))).toBeLessThan(1e-7);
      }
    }
  });

  test("far off a value can only have been misread, 0 V shows under 0 as well", () => {
    const quiet = reading(0, 4.5, { noise: 0.01, tails: 0, halfStep: 0.005 });
    expect(likelihoodAt(quiet, 4.4, 1)).toBe(quiet.floor);
    expect(likelihoodAt(quiet, 4.6, 1)).toBe(quiet.floor);
    // Within 8.5 deviations and half a step it may still be the noise.
    expect(likelihoodAt(quiet, 4.416, 1)).toBeGreaterThan(quiet.floor);
    // The wide normal reaches three times as far.
    const wide = { ...quiet, tails: 0.1 };
    expect(likelihoodAt(wide, 4.4, 1)).toBeGreaterThan(wide.floor);
    expect(likelihoodAt(wide, 4.2, 1)).toBe(wide.floor);
    expect(likelihoodAt(reading(0, 0), 0, 1)).toBeGreaterThan(0.6);
  });

  test("all values together are all there is: slope, and the floor of each", () => {
    const display = reading(0, 0);
    const values = Array.from({ length: 80 }, (_, k) => k * 0.1);
    const sum = values.reduce(
      (all, shown) => all + likelihoodAt({ ...display, shown }, 3.33, 1) - display.floor,
      0,
    );
    expect(sum).toBeCloseTo(display.slope, 6);
  });

  test("P(it shows this or less), misread values evenly over 0 to 5.5 V", () => {
    for (const display of displays) {
      for (const volts of [0, 3, 4.45, 5]) {
        for (const [shown, scale] of [
          [4.4, 1],
          [3.1, 2],
          [0.05, 1],
        ] as const) {
          // Less than the next value up is this or less.
          const next = { ...display, shown: shown + 2 * display.halfStep };
          const expected = lessChance(next, volts, scale, 5);
          expect(Math.abs(belowAt(display, volts, scale, shown, 5.5) - expected)).toBeLessThan(
            1e-7,
          );
        }
      }
    }
    expect(belowAt(displays[0]!, 1, 1, 7, 5.5)).toBeCloseTo(1, 9);
  });
});

describe("volts along a path", () => {
  const path = circuit(
    [link(3, chances({})), link(5, chances({})), link(7, chances({}))],
    [[], [], []],
    { supply: 1 },
  );
  const nuisance = {
    ...{ emf: [6, 5], drift: 0.2, noiseScale: 1, sourceOhms: [1, 20], loadOhms: [500, 1000] },
  };
  const place = { emf: 5, drift: 0.2, noiseScale: 1, source: 20, loads: [500, 1000] };
  const read = reading(0, 4.5, { meter: 1, order: 0.25, emfOffset: -0.1 });

  test("copper adds up from the timer, the EMF drifts with the walk's order", () => {
    expect(wireOhmsTo(path)).toEqual([3, 8, 15]);
    expect(emfAt(nuisance, 1, read)).toBeCloseTo(5 + 0.05 - 0.1, 12);
    expect(emfAt(nuisance, 0, { ...read, order: -0.5 })).toBeCloseTo(5.8, 12);
    // Of a supply that a leak passes half of, an offset is half as large.
    expect(emfAt({ ...nuisance, passed: 0.5 }, 1, read)).toBeCloseTo(5, 12);
  });

  test("a series path by equation (1)", () => {
    const at = seriesVolts(path, nuisance)(read, 1);
    for (const t of [0, 12, 700]) expect(at(t)).toBeCloseTo(seriesShown(place, read, 8 + t), 12);
    expect(at(Number.POSITIVE_INFINITY)).toBe(0);
  });

  test("a path that conducts by equation (7)", () => {
    const at = loopedVolts(path, nuisance, 400)(read, 1);
    for (const t of [0, 12, 300]) {
      expect(at(t)).toBeCloseTo(loopShown(place, read, 400, 8 + t, null), 12);
    }
  });

  const mesh = buildMesh(panelTree(1000), []);
  const two = [[read], [reading(4, 4.4, { meter: 1 }), reading(5, 4.3, { meter: 1 })], []];
  const voltsAt = seriesVolts(path, nuisance);
  const size = mesh.t.length;

  test("each point's readings at every node, those of a display that was off left out", () => {
    const { plain, open, shaky } = pointLikelihoods(mesh, two, voltsAt, 1, new Set([5]), null);
    expect(shaky).toBeNull();
    const likely = (own: ReadingProblem, k: number, t: number) =>
      likelihoodAt(own, seriesShown(place, own, [3, 8, 15][k]! + t), 1);
    for (const m of [0, 5, 11]) {
      const t = mesh.t[m]!;
      expect(plain[m]).toBeCloseTo(likely(two[0]![0]!, 0, t), 12);
      expect(plain[size + m]).toBeCloseTo(likely(two[1]![0]!, 1, t), 12);
      expect(plain[2 * size + m]).toBe(1);
    }
    const ifOpen = (own: ReadingProblem) => likelihoodAt(own, 0, 1);
    expect(open[0]).toBeCloseTo(ifOpen(two[0]![0]!), 12);
    expect(open[1]).toBeCloseTo(ifOpen(two[1]![0]!), 12);
    expect(open[2]).toBe(1);
    const all = pointLikelihoods(mesh, two, voltsAt, 1, null, null);
    expect(all.plain[size + 3]).toBeCloseTo(
      likely(two[1]![0]!, 1, mesh.t[3]!) * likely(two[1]![1]!, 1, mesh.t[3]!),
      12,
    );
    expect(all.open[1]).toBeCloseTo(ifOpen(two[1]![0]!) * ifOpen(two[1]![1]!), 12);
  });

  test("behind a contact that comes and goes, a bad moment adds a fresh fault or opens it", () => {
    const fine = buildMesh(panelTree(1000), [{ low: 0, high: 0.3, width: 0.02 }]);
    const bad = { kernel: contactKernel(fine, blockShelf(fouled)), fouled: 0.7 };
    const { shaky } = pointLikelihoods(fine, two, voltsAt, 1, null, bad);
    const places = placesOf(fouled, 201);
    for (const m of [0, 4]) {
      const t = fine.t[m]!;
      const own = two[0]![0]!;
      const at = (more: number) => likelihoodAt(own, seriesShown(place, own, 3 + t + more), 1);
      const mean = places.reduce((sum, { ohms, weight }) => sum + weight * at(ohms), 0);
      const expected = 0.7 * at(0) + 0.3 * (0.7 * mean + 0.3 * likelihoodAt(own, 0, 1));
      expect(shaky![m]).toBeCloseTo(expected, 3);
    }
    for (const m of [2, 9]) expect(shaky![2 * fine.t.length + m]).toBe(1);
  });
});

describe("P(a path has more than a limit)", () => {
  const mesh = buildMesh(panelTree(1000), [{ low: 0.03, high: 0.05, width: 0.01 }]);
  /** Probabilities by node of an exponential of mean 40 ohm: its density times the node's stretch. */
  const masses = Float64Array.from(mesh.t, (t, at) => {
    const panel = mesh.panels[Math.floor(at / 8)]!;
    const half = (panel.high - panel.low) / 2;
    const perU = (1000 + t) ** 2 / 1000;
    const weight = [0.101228536290376, 0.222381034453374, 0.313706645877887, 0.362683783378362];
    const w = weight[at % 8 < 4 ? at % 8 : 7 - (at % 8)]!;
    return half * w * perU * (Math.exp(-t / 40) / 40);
  });

  test.each([5, 20, 41.7, 60, 150])("%d ohm, of an exponential law", (limit) => {
    expect(pathBeyond(mesh, masses, null, limit)).toBeCloseTo(Math.exp(-limit / 40), 4);
  });

  test("both of two parts count; under no limit all is beyond", () => {
    const [half, rest] = [masses.map((x) => 0.3 * x), masses.map((x) => 0.7 * x)];
    expect(pathBeyond(mesh, half, rest, 41.7)).toBeCloseTo(Math.exp(-41.7 / 40), 4);
    expect(pathBeyond(mesh, masses, null, -5)).toBeCloseTo(1, 4);
    expect(pathBeyond(mesh, masses, null, 0)).toBeCloseTo(1, 4);
    expect(
      pathBeyond(
        mesh,
        masses.map((x) => 2 * x),
        null,
        1,
      ),
    ).toBe(1);
    expect(
      pathBeyond(
        mesh,
        masses.map((x) => -x),
        null,
        1,
      ),
    ).toBe(0);
  });
});
