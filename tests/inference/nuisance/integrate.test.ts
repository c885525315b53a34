import { describe, expect, test } from "vitest";
import type { Nuisance } from "../../../src/inference/chain/point-likelihoods.ts";
import { coordinatesOf } from "../../../src/inference/nuisance/coordinates.ts";
import {
  finestNoise,
  highestShown,
  integrateBranch,
  lookAt,
  scoreOf,
} from "../../../src/inference/nuisance/integrate.ts";
import { sdOf } from "../../../src/inference/nuisance/normal-fit.ts";
import { exactOhms, type WalkProblem } from "../../../src/inference/problem.ts";
import { chances, circuit, link, reading, walkOf } from "../small-walks.ts";

/**
 * Sketches that are normal in the walk's numbers have posteriors that are known: with a prior N(m, p^2)
 * and a likelihood of width s about a, the mass is N(a; m, p^2 + s^2) s sqrt(2 pi), the mean lies between
 * by their precisions.
 */
const fine = { noise: 0.02, halfStep: 0.005 };
const path = (values: readonly number[], supply = 0, meter = 0) =>
  circuit([link(1, chances({}))], [values.map((v, i) => reading(i, v, { ...fine, meter }))], {
    supply,
  });
const supply = { emf: 5, emfSd: 0.05, sourceOhms: exactOhms(0) };
const walkWith = (count: number, over: Partial<WalkProblem> = {}) =>
  walkOf(
    Array.from({ length: count }, () => path([4.98, 4.9])),
    { supplies: [supply], ...over },
  );
const branch = { sourceOhms: [0], loadOhms: [1000] };
const bell = (x: number, at: number, width: number) => -0.5 * ((x - at) / width) ** 2;
const logNormal = (x: number, mean: number, variance: number) =>
  -0.5 * ((x - mean) ** 2 / variance + Math.log(2 * Math.PI * variance));
/** Mass, mean and standard deviation of a normal prior times a bell. */
const known = (mean: number, sd: number, at: number, width: number) => {
  const precision = 1 / sd ** 2 + 1 / width ** 2;
  return {
    logMass: logNormal(at, mean, sd ** 2 + width ** 2) + Math.log(width * Math.sqrt(2 * Math.PI)),
    mean: (mean / sd ** 2 + at / width ** 2) / precision,
    sd: 1 / Math.sqrt(precision),
  };
};

describe("where a branch's posterior is", () => {
  test("one hill, of what each circuit says of the EMF", () => {
    // Two circuits of width 0.02 and 0.03: together 1 / (1/0.02^2 + 1/0.03^2).
    const both = ({ emf: [e] }: Nuisance) => bell(e!, 4.9, 0.02) + bell(e!, 4.93, 0.03);
    const { fits, logMass } = lookAt(walkWith(2), branch, both, null);
    expect(fits).toHaveLength(1);
    const width = 1 / Math.sqrt(1 / 0.02 ** 2 + 1 / 0.03 ** 2);
    const at = (4.9 / 0.02 ** 2 + 4.93 / 0.03 ** 2) * width ** 2;
    const apart = (-0.5 * 0.03 ** 2) / (0.02 ** 2 + 0.03 ** 2);
    const one = known(5, 0.05, at, width);
    expect(fits[0]!.mean[0]).toBeCloseTo(one.mean, 6);
    expect(sdOf(fits[0]!, 0)).toBeCloseTo(one.sd, 6);
    expect(logMass).toBeCloseTo(one.logMass + apart, 5);
  });

  test("with drift and noise beside it, each by its own", () => {
    const walk = walkWith(3, { driftSd: 0.04, noiseLogSd: 0.3 });
    const sketch = ({ emf: [e], drift, noiseScale }: Nuisance) =>
      bell(e!, 4.95, 0.02) + bell(drift, 0.03, 0.03) + bell(Math.log(noiseScale), 0.2, 0.5);
    const { fits, logMass } = lookAt(walk, branch, sketch, null);
    const parts = [known(5, 0.05, 4.95, 0.02), known(0, 0.04, 0.03, 0.03), known(0, 0.3, 0.2, 0.5)];
    expect(fits).toHaveLength(1);
    for (const [i, { mean, sd }] of parts.entries()) {
      expect(fits[0]!.mean[i]).toBeCloseTo(mean, 5);
      expect(sdOf(fits[0]!, i)).toBeCloseTo(sd, 5);
    }
    expect(logMass).toBeCloseTo(
      parts.reduce((sum, one) => sum + one.logMass, 0),
      4,
    );
  });

  const two = ({ emf: [e] }: Nuisance) =>
    Math.log(Math.exp(bell(e!, 4.8, 0.01)) + 0.02 * Math.exp(bell(e!, 5, 0.01)));
  const hills = [known(5, 0.05, 4.8, 0.01), known(5, 0.05, 5, 0.01)];
  const whole = Math.log(Math.exp(hills[0]!.logMass) + 0.02 * Math.exp(hills[1]!.logMass));

  test("two hills, the one of more mass first", () => {
    const { fits, logMass } = lookAt(walkWith(1), branch, two, null);
    expect(fits).toHaveLength(2);
    // ln of both masses differs by 3.9 for the nominal one: 7.7 of the prior less ln 50.
    expect(fits.map(({ mean }) => mean[0]!.toFixed(2))).toEqual(["5.00", "4.81"]);
    expect(logMass).toBeCloseTo(whole, 3);
  });

  test("also from a look nearby, whose hills are a little beside these", () => {
    // A circuit that shows 4.9 V asks there, too: between the hills.
    const beside = ({ emf: [e] }: Nuisance) => two({ emf: [e! + 0.004] } as never);
    const walk = walkOf([path([4.98]), path([4.9])], { supplies: [supply] });
    const near = lookAt(walk, branch, beside, null);
    const { fits, logMass } = lookAt(walk, branch, two, near);
    expect(fits).toHaveLength(2);
    expect(logMass).toBeCloseTo(whole, 3);
  });

  test("one that a look nearby has, and the few places along the line hide behind a higher one", () => {
    // 4.9 V, between the hills, is not among the places: of 4.8 and 5 V only one is higher than its neighbour.
    const walk = walkOf([path([4.98])], { supplies: [supply] });
    const near = lookAt(walk, branch, two, null);
    const { fits, logMass } = lookAt(walk, branch, two, near);
    expect(fits).toHaveLength(2);
    expect(logMass).toBeCloseTo(whole, 3);
  });

  test("what is twelve under the best, in ln, is no hill", () => {
    const weighed =
      (log: number) =>
      ({ emf: [e] }: Nuisance) =>
        Math.log(Math.exp(bell(e!, 4.9, 0.01)) + Math.exp(log + bell(e!, 5.1, 0.01)));
    const count = (log: number) => lookAt(walkWith(1), branch, weighed(log), null).fits.length;
    expect(count(-11)).toBe(2);
    expect(count(-13)).toBe(1);
  });

  test("a sketch that has no top near has the prior's width, cut by what a reading tells", () => {
    // A slope without end. Two readings of 0.02 V: 1.5 times that is over half the prior's 0.05 V, of
    // which twice is taken; of 0.002 V twice 0.003.
    const slope = ({ emf: [e], noiseScale }: Nuisance) => 1000 * e! + 1000 * Math.log(noiseScale);
    const widths = (noise: number) => {
      const quiet = circuit(
        [link(1, chances({}))],
        [[reading(0, 4.9, { noise }), reading(1, 4.9, { noise })]],
      );
      const walk = walkOf([quiet], { supplies: [supply], noiseLogSd: 0.3 });
      const { fits } = lookAt(walk, branch, slope, null);
      expect(fits).toHaveLength(1);
      expect(fits[0]!.root[0]![1]).toBe(0);
      expect(fits[0]!.root[1]![0]).toBe(0);
      return [sdOf(fits[0]!, 0), sdOf(fits[0]!, 1)];
    };
    const [wide, narrow] = [widths(0.02), widths(0.002)];
    expect(wide[0]).toBeCloseTo(0.05, 12);
    expect(narrow[0]).toBeCloseTo(0.006, 12);
    // 0.4 of the prior's 0.3 of ln noise, twice.
    expect(wide[1]).toBeCloseTo(0.24, 12);
  });

  test.each([4.62, 4.7, 5.29, 5.36])(
    "a narrow hill at %d V is found from eight deviations on",
    (at) => {
      const walk = walkOf([path([4])], { supplies: [supply] });
      const { fits } = lookAt(walk, branch, ({ emf: [e] }) => bell(e!, at, 0.015), null);
      expect(fits).toHaveLength(1);
      expect(Math.abs(fits[0]!.mean[0]! - known(5, 0.05, at, 0.015).mean)).toBeLessThan(1e-4);
    },
  );

  test("of more hills than four the highest four, by mass", () => {
    const places = [4.85, 4.9, 4.95, 5, 5.05, 5.1];
    const weights = [0.3, 1, 0.5, 0.1, 0.8, 0.05];
    const many = ({ emf: [e] }: Nuisance) =>
      Math.log(
        places.reduce((sum, at, i) => sum + weights[i]! * Math.exp(bell(e!, at, 0.004)), 0),
      ) - logNormal(e!, 5, 0.05 ** 2);
    const { fits } = lookAt(walkWith(1), branch, many, null);
    const found = fits.map(({ mean }) => places.findIndex((at) => Math.abs(mean[0]! - at) < 0.002));
    expect(found).toEqual([1, 4, 2, 0]);
  });

  test("two supplies by themselves, each with its own hills", () => {
    const both = [supply, { ...supply, emf: 6 }];
    const walk = walkOf([path([4.9]), path([5.9], 1)], { supplies: both });
    const sketch = ({ emf: [e, f] }: Nuisance) =>
      bell(e!, 4.95, 0.02) +
      Math.log(Math.exp(bell(f!, 5.95, 0.01)) + Math.exp(bell(f!, 6.05, 0.01)));
    const { fits, logMass } = lookAt(walk, { ...branch, sourceOhms: [0, 0] }, sketch, null);
    const places = fits.map(({ mean }) => [...mean].map((x) => x.toFixed(2)).join(" "));
    expect(places.toSorted()).toEqual(["4.96 5.95", "4.96 6.05"]);
    const first = known(5, 0.05, 4.95, 0.02).logMass;
    expect(logMass).toBeCloseTo(first + known(6, 0.05, 5.95, 0.01).logMass + Math.log(2), 3);
    const near = lookAt(walk, { ...branch, sourceOhms: [0, 0] }, sketch, null);
    const again = lookAt(walk, { ...branch, sourceOhms: [0, 0] }, sketch, near);
    expect(again.fits).toHaveLength(2);
    expect(again.logMass).toBeCloseTo(logMass, 6);
  });

  test("nothing unknown is one place", () => {
    const walk = walkWith(1, { supplies: [{ ...supply, emfSd: 0 }] });
    expect(lookAt(walk, branch, ({ emf: [e] }) => -e!, null)).toMatchObject({
      fits: [],
      logMass: -5,
    });
  });

  test("a score is the sketch and the prior", () => {
    const coordinates = coordinatesOf(walkWith(1), branch);
    const score = scoreOf(coordinates, ({ emf: [e] }) => e! + 3);
    expect(score(Float64Array.of(5.05))).toBeCloseTo(8.05 + logNormal(5.05, 5, 0.05 ** 2), 12);
  });
});

test("the finest noise of any reading, 1 V at most", () => {
  const noisy = (noise: number) => circuit([link(1, chances({}))], [[reading(0, 4.9, { noise })]]);
  expect(finestNoise(walkOf([noisy(0.05), noisy(0.02), noisy(0.1)]))).toBe(0.02);
  expect(finestNoise(walkOf([noisy(2)]))).toBe(1);
});

test("what each circuit shows at most by the supply's own meter, falling, each place once", () => {
  const walk = walkOf(
    [path([4.7, 4.9, 4.8]), path([4.895]), path([4.6]), path([3], 1), path([9, 4.99], 0, 1)],
    {
      supplies: [supply, supply, supply, { ...supply, emfSd: 0 }],
      loads: [exactOhms(1000), exactOhms(1000)],
    },
  );
  // 4.895 is no further than 0.01 V from 4.9; the third supply was not read, the fourth is known.
  expect(highestShown(walk)).toEqual([[4.9, 4.6], [3]]);
  const many = walkOf(
    Array.from({ length: 12 }, (_, c) => path([4 + c / 10])),
    {
      supplies: [supply],
    },
  );
  expect(highestShown(many)[0]).toHaveLength(8);
  expect(highestShown(many)[0]![0]).toBeCloseTo(5.1, 12);
});

describe("the integral of a branch", () => {
  const one = [{ coordinates: null as never, logWeight: 0, tilt: null }];
  const plainly = { coarse: false, best: Number.NEGATIVE_INFINITY };
  /** @param light What the light sums leave out, in ln. */
  function integral(
    walk: WalkProblem,
    log: (nuisance: Nuisance) => number,
    how: { readonly coarse: boolean; readonly best: number } = plainly,
    light: ((nuisance: Nuisance) => number) | null = null,
    ohms: readonly number[] = [0],
  ) {
    const own = { ...branch, sourceOhms: ohms };
    const look = lookAt(walk, own, log, null);
    const priors = one.map((prior) => ({ ...prior, coordinates: look.coordinates }));
    let whole = 0;
    const found = integrateBranch(
      walk,
      look,
      priors,
      {
        at: (nuisance, care) => {
          if (care !== "whole") return { logLikelihood: log(nuisance) - (light?.(nuisance) ?? 0) };
          whole += 1;
          return { logLikelihood: log(nuisance) };
        },
        leavesOut: (care) => care === "light" && light !== null,
      },
      how,
    );
    const mean = (of: (point: Float64Array) => number) =>
      found.nodes.reduce((sum, { point, weight }) => sum + weight * of(point), 0);
    return { ...found, mean, whole };
  }
  const all = ({ emf: [e], drift, noiseScale }: Nuisance) =>
    bell(e!, 4.95, 0.02) + bell(drift, 0.03, 0.03) + bell(Math.log(noiseScale), 0.2, 0.5);
  const parts = [known(5, 0.05, 4.95, 0.02), known(0, 0.04, 0.03, 0.03), known(0, 0.3, 0.2, 0.5)];
  const logAll = parts.reduce((sum, { logMass }) => sum + logMass, 0);
  const unknown = { driftSd: 0.04, noiseLogSd: 0.3 };

  test.each([
    ["of few circuits a cross", 1, false, 0.001],
    ["of many bundles a coarser one", 1, true, 0.02],
    ["of four circuits a star", 4, false, 1e-6],
    ["of many circuits a star as well", 9, false, 1e-6],
  ])("of a normal is known: %s", (_, count, coarse, within) => {
    const { logMass, mean, nodes } = integral(walkWith(count, unknown), all, {
      ...plainly,
      coarse,
    });
    expect(Math.abs(logMass - logAll)).toBeLessThan(within);
    expect(mean(() => 1)).toBeCloseTo(1, 6);
    for (const [i, part] of parts.entries()) {
      expect(Math.abs(mean((point) => point[i]!) - part.mean)).toBeLessThan(0.05 * part.sd);
      const square = mean((point) => (point[i]! - part.mean) ** 2);
      expect(Math.abs(square / part.sd ** 2 - 1)).toBeLessThan(0.15);
    }
    expect(nodes.reduce((sum, { alone }) => sum + alone, 0)).toBeCloseTo(1, 9);
    expect(nodes.length === 7).toBe(count >= 4);
  });

  test("of two hills is both of theirs, be there few circuits or many", () => {
    const log = (nuisance: Nuisance) =>
      Math.log(
        Math.exp(all(nuisance)) +
          Math.exp(all({ ...nuisance, emf: [nuisance.emf[0]! - 0.1] }) + 0.5),
      );
    const other = known(5, 0.05, 5.05, 0.02).logMass - parts[0]!.logMass + 0.5;
    const share = Math.exp(other) / (1 + Math.exp(other));
    for (const count of [1, 5, 9]) {
      const { logMass, mean } = integral(walkWith(count, unknown), log);
      expect(Math.abs(logMass - logAll - Math.log(1 + Math.exp(other)))).toBeLessThan(0.02);
      expect(Math.abs(mean(([y]) => (y! > 5 ? 1 : 0)) - share)).toBeLessThan(0.01);
    }
  });

  test("of two hills takes fewer nodes where there are many circuits or bundles", () => {
    const log = (nuisance: Nuisance) =>
      Math.log(
        Math.exp(all(nuisance)) + Math.exp(all({ ...nuisance, emf: [nuisance.emf[0]! - 0.1] })),
      );
    const count = (circuits: number, coarse = false) =>
      integral(walkWith(circuits, unknown), log, { ...plainly, coarse }).nodes.length;
    expect(count(8)).toBeLessThan(count(7));
    expect(count(9)).toBe(count(8));
    expect(count(7)).toBe(count(5));
    expect(count(5, true)).toBe(count(8));
  });

  test("of an EMF and the drift alone is a product for few circuits, else a sparse grid", () => {
    const log = ({ emf: [e], drift, noiseScale }: Nuisance) => {
      const across = bell(drift, 0.03, 0.03) + bell(Math.log(noiseScale), 0.2, 0.5);
      return Math.log(Math.exp(bell(e!, 4.95, 0.02)) + Math.exp(bell(e!, 4.85, 0.02))) + across;
    };
    // Beside its line a sparse grid has nodes that stand for nothing by themselves.
    const beside = (circuits: number, over: object, coarse = false) =>
      integral(walkWith(circuits, over), log, { ...plainly, coarse }).nodes.some(
        ({ alone }) => alone === 0,
      );
    const drift = { driftSd: 0.04 };
    expect([3, 7, 8].map((n) => beside(n, drift))).toEqual([false, false, true]);
    expect(beside(3, drift, true)).toBe(true);
    expect(beside(3, { noiseLogSd: 0.3 })).toBe(true);
    const drifting = walkWith(3, { supplies: [{ ...supply, emfSd: 0 }], driftSd: 0.04 });
    const alone = integral(drifting, ({ drift }) => bell(drift, 0.03, 0.03));
    expect(Math.abs(alone.logMass - parts[1]!.logMass)).toBeLessThan(0.001);
  });

  test("of two supplies is the product of both", () => {
    const both = [supply, { ...supply, emf: 6 }];
    const walk = walkOf([path([4.9]), path([5.9], 1)], { supplies: both, noiseLogSd: 0.3 });
    const log = ({ emf: [a, b], noiseScale }: Nuisance) =>
      bell(a!, 4.95, 0.02) + bell(b!, 6.02, 0.03) + bell(Math.log(noiseScale), 0.2, 0.5);
    const expected = [parts[0]!, known(6, 0.05, 6.02, 0.03), parts[2]!];
    const { logMass, mean } = integral(walk, log, plainly, null, [0, 0]);
    const sum = expected.reduce((total, one) => total + one.logMass, 0);
    expect(Math.abs(logMass - sum)).toBeLessThan(0.003);
    for (const [i, part] of expected.entries()) {
      expect(Math.abs(mean((point) => point[i]!) - part.mean)).toBeLessThan(0.05 * part.sd);
    }
  });

  test("of an EMF and one number more, few circuits, is a product of rules", () => {
    const log = ({ emf: [e], noiseScale }: Nuisance) =>
      bell(e!, 4.95, 0.02) + bell(Math.log(noiseScale), 0.2, 0.5);
    const { logMass, first } = integral(walkWith(2, { noiseLogSd: 0.3 }), log);
    expect(Math.abs(logMass - parts[0]!.logMass - parts[2]!.logMass)).toBeLessThan(0.001);
    expect(first!.median).toBeCloseTo(parts[0]!.mean, 5);
    expect(first!.high).toBeCloseTo(parts[0]!.mean + 1.6449 * parts[0]!.sd, 4);
  });

  test("of nothing unknown is the one place", () => {
    const walk = walkWith(5, { supplies: [{ ...supply, emfSd: 0 }] });
    const { logMass, nodes } = integral(walk, () => -7);
    expect(logMass).toBe(-7);
    expect(nodes).toMatchObject([{ weight: 1, alone: 1 }]);
  });

  test("by light sums is as large as by the whole ones, which are asked at the centre alone", () => {
    // The light sums leave out the same everywhere: e^-0.3 of all.
    for (const count of [5, 1]) {
      const walk = walkWith(count, unknown);
      const light = integral(walk, all, plainly, () => 0.3);
      expect(Math.abs(light.logMass - logAll)).toBeLessThan(0.001);
      expect(light.mean(() => 1)).toBeCloseTo(1, 9);
      if (count === 5) expect(light.whole).toBe(1);
    }
  });

  test("where a likelihood is no number there is none", () => {
    const log = (nuisance: Nuisance) => (nuisance.emf[0]! < 4.8 ? Number.NaN : all(nuisance));
    const look = lookAt(walkWith(5, unknown), branch, all, null);
    const found = integrateBranch(
      walkWith(5, unknown),
      look,
      [{ coordinates: look.coordinates, logWeight: 0, tilt: null }],
      {
        at: (nuisance) => ({ logLikelihood: log(nuisance) }),
        leavesOut: () => false,
      },
      plainly,
    );
    expect(Math.abs(found.logMass - logAll)).toBeLessThan(0.01);
  });

  test("of what is slight beside another, a star need not be exact", () => {
    // A number whose width hangs on another is no star: by itself it takes a cross, of a slight walk seven
    // nodes.
    const z = (x: number, { mean, sd }: { readonly mean: number; readonly sd: number }) =>
      (x - mean) / sd;
    const bent = (nuisance: Nuisance) =>
      all(nuisance) +
      0.5 * z(nuisance.emf[0]!, parts[0]!) * z(Math.log(nuisance.noiseScale), parts[2]!) ** 2;
    const walk = walkWith(5, unknown);
    expect(integral(walk, bent).nodes.length).toBeGreaterThan(7);
    expect(integral(walk, bent, { coarse: false, best: logAll + 10 }).nodes).toHaveLength(7);
    expect(integral(walk, bent, { coarse: false, best: logAll }).nodes.length).toBeGreaterThan(7);
  });
});
