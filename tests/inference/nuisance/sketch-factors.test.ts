import { describe, expect, test } from "vitest";
import { conductingSketch } from "../../../src/inference/nuisance/conducting-sketch.ts";
import {
  circuitSketch,
  sketched,
  sketchFactors,
  sketchParts,
} from "../../../src/inference/nuisance/sketch.ts";
import type { ConductingProblem, LogNormalPart } from "../../../src/inference/problem.ts";
import { chances, circuit, link, reading, walkOf } from "../small-walks.ts";

/**
 * A meter of 1000 ohm on 5 V behind 50 ohm and a wire of 1 ohm a link shows r ohm in series as
 * 5000 / (1051 + r); an ohm there is 5 / 5000 of the square of what is shown.
 */
const sharp = { noise: 0.002, halfStep: 0.0005, tails: 0, slope: 1, floor: 1e-12 };
const nuisance = { emf: [5], drift: 0, noiseScale: 1, sourceOhms: [50], loadOhms: [1000] };
const shownBehind = (ohms: number) => 5000 / (1051 + ohms);
const perVolt = (shown: number) => 5000 / shown ** 2;
const normal = (z: number) => Math.exp(-0.5 * z * z) / Math.sqrt(2 * Math.PI);
const lawOf = (medianOhms: number, logSd: number): readonly LogNormalPart[] => [
  { share: 1, medianOhms, logSd },
];
/** A log-normal's density per ohm. */
const densityOf = (medianOhms: number, logSd: number) => (r: number) =>
  r > 0 ? normal(Math.log(r / medianOhms) / logSd) / (logSd * r) : 0;

describe("a displayed value as a bell", () => {
  const value = { ...sharp, noise: 0.02, halfStep: 0.005 };
  const bellOf = (off: number, sd: number) => {
    const variance = sd ** 2 + 0.005 ** 2 / 3;
    return (0.01 * Math.exp((-0.5 * off ** 2) / variance)) / Math.sqrt(2 * Math.PI * variance);
  };

  test("is as wide as the walk's noise and the step, high by the step", () => {
    for (const scale of [0.5, 1, 2]) {
      const own = sketched(reading(0, 4.9, value), 4.86, scale);
      expect(own / (bellOf(0.04, 0.02 * scale) + 1e-12)).toBeCloseTo(1, 9);
    }
  });

  test("with a wide normal of three times its width, and what is misread", () => {
    const tailed = { ...value, tails: 0.1, slope: 0.9, floor: 0.001 };
    // Nine times the variance, the step's part too.
    const variance = 9 * (0.02 ** 2 + 0.005 ** 2 / 3);
    const wide =
      (0.01 * Math.exp((-0.5 * 0.07 ** 2) / variance)) / Math.sqrt(2 * Math.PI * variance);
    const exact = 0.9 * (0.9 * bellOf(0.07, 0.02) + 0.1 * wide) + 0.001;
    expect(sketched(reading(0, 4.9, tailed), 4.83, 1) / exact).toBeCloseTo(1, 9);
    // Where the narrow one has come to nothing the wide one has not; beyond 25 deviations neither.
    expect(sketched(reading(0, 4.9, tailed), 4.9 - 24 * 0.0203, 1)).toBeGreaterThan(0.001);
    expect(sketched(reading(0, 4.9, { ...tailed, floor: 0 }), 4.9 - 26 * 0.0203, 1)).toBe(0);
  });

  test("a path that cannot have shown its reading is as unlikely as a number can be", () => {
    const path = circuit([link(1, chances({}))], [[reading(0, 2, { ...sharp, floor: 0 })]]);
    expect(circuitSketch(walkOf([path]), path)(nuisance)).toBe(Math.log(Number.MIN_VALUE));
  });
});

describe("a fouled contact read right behind it", () => {
  /** P(what `r` ohm show | fouled), and the density of `r` that it comes to. */
  const behind = (
    law: readonly LogNormalPart[],
    r: number,
    over: Partial<typeof sharp> = {},
    noiseScale = 1,
  ) => {
    const shown = shownBehind(r);
    const own = { ...sharp, ...over };
    const contact = { ...link(1, chances({ fouled: 0.1 })), fouled: law };
    const path = circuit([contact], [[reading(0, shown, own)]]);
    const [likelihood] = sketchFactors(walkOf([path]), path)({ ...nuisance, noiseScale }).fouled;
    const step = perVolt(shown) * 2 * own.halfStep;
    return {
      likelihood: likelihood!,
      density: (likelihood! - own.floor) / (own.slope * step),
      sd: perVolt(shown) * own.noise * noiseScale,
    };
  };

  test("is as likely as its law has that resistance, where the meter tells it exactly", () => {
    // At 5 V and 0.1 mV an ohm is 46 deviations.
    for (const [median, r] of [
      [3, 3],
      [3, 2.4],
      [60, 80],
    ] as const) {
      const { density } = behind(lawOf(median, 0.2), r, { noise: 1e-4 });
      expect(density / densityOf(median, 0.2)(r)).toBeCloseTo(1, 6);
    }
    // By its slope, and what is misread beside it.
    const { likelihood } = behind(lawOf(60, 1), 60, { noise: 1e-4, slope: 0.9, floor: 0.01 });
    const step = perVolt(shownBehind(60)) * 0.001;
    expect(likelihood).toBeCloseTo(0.9 * step * densityOf(60, 1)(60) + 0.01, 12);
  });

  test("by a meter as wide as its law has the law's mean over the meter's normal", () => {
    const pdf = densityOf(60, 0.3);
    for (const scale of [1, 2]) {
      const { density, sd } = behind(lawOf(60, 0.3), 60, { noise: 0.03 }, scale);
      const step = sd / 100;
      let mean = 0;
      for (let z = -6; z <= 6; z += 0.01) mean += (step / sd) * normal(z) * pdf(60 + z * sd);
      // By three places: to a twelfth where the meter's deviation is two thirds of the law's.
      expect(Math.abs(density / mean - 1)).toBeLessThan(1 / 12);
    }
  });

  test("is looked at in three places a root of three deviations apart, by 1, 4 and 1", () => {
    const pdf = densityOf(4, 1);
    const { sd } = behind(lawOf(4, 1), 0);
    const apart = Math.sqrt(3);
    for (const [at, exact] of [
      [3, (4 * pdf(3 * sd) + pdf((3 - apart) * sd) + pdf((3 + apart) * sd)) / 6],
      // Under 0 no contact is; nearer to it than 0.15 of a deviation the law counts as there.
      [0, pdf(apart * sd) / 6],
      [0.05, (4 * pdf(0.15 * sd) + pdf((0.05 + apart) * sd)) / 6],
      [-1, pdf((apart - 1) * sd) / 6],
      [-1.7, pdf(0.15 * sd) / 6],
      [-1.8, 0],
    ] as const) {
      const found = behind(lawOf(4, 1), at * sd);
      // A deviation is wider by what the shown value is less.
      expect(found.sd / sd).toBeCloseTo(1, 1);
      if (exact === 0) expect(found.density).toBe(0);
      else expect(Math.abs(found.density / exact - 1)).toBeLessThan(0.03);
    }
  });

  test("eight deviations from 0 the law is as it is there, be it narrower than the meter sees", () => {
    const narrow = (r: number) => lawOf(r, 0.001);
    // A third of the three places' weight lies beside it.
    for (const [r, part] of [
      [8.2, 1],
      [7.6, 4 / 6],
    ] as const) {
      const { sd } = behind(narrow(1), 0);
      const at = r * sd;
      const { density } = behind(narrow(at), at);
      expect(density / densityOf(at, 0.001)(at)).toBeCloseTo(part, 6);
    }
  });
});

describe("further readings behind a fouled contact", () => {
  const contact = { ...link(1, chances({ fouled: 0.1 })), fouled: lawOf(60, 1) };
  /** What a second reading, a link on, makes of it. */
  const factor = (r: number, volts: number, lowerOnly?: boolean) => {
    const rows = [[reading(0, shownBehind(r), sharp)], [reading(1, volts, sharp)]];
    const one = circuit([contact, contact], [rows[0]!, []]);
    const both = circuit([contact, contact], rows);
    const [alone, own] = [one, both].map(
      (path) => sketchFactors(walkOf([path]), path, lowerOnly)(nuisance).fouled[0]!,
    );
    return own! / alone!;
  };
  const variance = 0.002 ** 2 + 0.0005 ** 2 / 3;
  const shows = (off: number) =>
    (0.001 * Math.exp((-0.5 * off ** 2) / variance)) / Math.sqrt(2 * Math.PI * variance);
  // Another wire and a sound contact's 0.28 ohm behind the first.
  const next = (r: number) => 5000 / (1051 + Math.max(0, r) + 1.28);

  test("are as likely as they are behind the resistance that the first one shows", () => {
    for (const r of [20, 150]) {
      for (const off of [0, 0.003, -0.003]) {
        expect(factor(r, next(r) + off, true)).toBeCloseTo(shows(off) + (off < 0 ? 3e-5 : 0), 8);
      }
    }
    // What shows more than a path without any is none.
    expect(factor(-3, next(-3), true)).toBeCloseTo(shows(0), 8);
  });

  test("or any lower where another contact has fouled, 0.03 a volt, of which the step is 1 mV", () => {
    expect(factor(150, 2, true)).toBeCloseTo(3e-5, 9);
    expect(factor(150, 4.6, true)).toBeCloseTo(0, 9);
    // Where numbers are far from what they will be, what rises counts too.
    for (const lowerOnly of [false, undefined]) {
      expect(factor(150, 4.6, lowerOnly)).toBeCloseTo(3e-5, 9);
      expect(factor(150, next(150), lowerOnly)).toBeCloseTo(shows(0) + 3e-5, 9);
    }
  });

  test("by their chances make a path's parts, unless otherwise said whatever rises", () => {
    const rows = [[reading(0, shownBehind(150), sharp)], [reading(1, 4.6, sharp)]];
    const path = circuit([contact, contact], rows);
    const factors = sketchFactors(walkOf([path]), path)(nuisance);
    const { fouled } = sketchParts(walkOf([path]), path)(nuisance);
    expect(fouled[0]! / (0.1 * factors.fouled[0]!)).toBeCloseTo(1, 9);
    expect(fouled[1]! / (0.9 * factors.sound[0]! * 0.1 * factors.fouled[1]!)).toBeCloseTo(1, 9);
  });
});

describe("what conducts by itself, by Newton's method", () => {
  const links = [0, 1, 2].map(() => link(1, chances({})));
  /** Source, wires and sound contacts up to a link. */
  const upTo = (k: number) => 50 + (k + 1) * 1.28;
  /** Kirchhoff's laws for `rd` across the pair behind the second link. */
  function shownAt(k: number, rd: number): number {
    const more = k > 1 ? upTo(k) - upTo(1) : 0;
    const before = upTo(Math.min(k, 1));
    const rest = upTo(1) - before + rd;
    const beside = (rest * (1000 + more)) / (rest + 1000 + more);
    return ((5 * beside) / (beside + before)) * (1000 / (1000 + more));
  }
  const over = (medianOhms: number, logSd: number, of: (ohms: number) => number) => {
    let sum = 0;
    for (let z = -6; z <= 6; z += 0.005)
      sum += 0.005 * normal(z) * of(medianOhms * Math.exp(logSd * z));
    return sum;
  };

  test.each([
    ["a narrow law", 300, 0.3, 330, 0.02, 1],
    ["a noisy walk", 300, 0.5, 260, 0.02, 2],
    ["a quiet one", 300, 0.5, 260, 0.02, 0.5],
    ["a stuck switch, whose sound contacts tell", 2, 0.2, 2.2, 0.002, 1],
    ["a meter that tells nothing", 300, 0.3, 300, 2, 1],
  ])("has its law's mass where readings put it: %s", (_, medianOhms, logSd, rd, noise, scale) => {
    const leak: ConductingProblem = {
      ...{ kind: "leaking", link: 1, chance: 0.1, medianOhms, logSd },
    };
    const rows = [0, 1, 2].map((k) => [reading(k, shownAt(k, rd), { ...sharp, noise })]);
    const path = circuit(links, rows, { conducting: [leak] });
    const variance = (noise * scale) ** 2 + 0.0005 ** 2 / 3;
    const likelihood = (own: number) =>
      [0, 1, 2].reduce((p, k) => {
        const off = shownAt(k, rd) - shownAt(k, own);
        return (
          p * 0.001 * (Math.exp((-0.5 * off ** 2) / variance) / Math.sqrt(2 * Math.PI * variance))
        );
      }, 1);
    const found = conductingSketch(path)({ ...nuisance, noiseScale: scale });
    expect(Math.abs(found / (0.1 * over(medianOhms, logSd, likelihood)) - 1)).toBeLessThan(0.02);
  });
});
