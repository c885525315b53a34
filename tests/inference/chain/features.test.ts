import { describe, expect, test } from "vitest";
import {
  axisEnd,
  circuitFeatures,
  type NuisanceRange,
} from "../../../src/inference/chain/features.ts";
import type { Feature } from "../../../src/inference/chain/mesh.ts";
import type { ReadingProblem } from "../../../src/inference/problem.ts";
import { expectFeatures, noiseAlong, type Place, uOf } from "../feature-places.ts";
import { chances, circuit, link, reading } from "../small-walks.ts";

/**
 * Where a reading's likelihood varies: equation (1) solved for the contacts by hand, and the noise over
 * the slope of the volts along the axis, taken numerically.
 */
const WIRE = 5;
const joint = link(WIRE, chances({ fouled: 0.2 }));
const pathOf = (readings: readonly ReadingProblem[], limitOhms: number | null = null) =>
  circuit([joint], [readings], { limitOhms });
const exact: NuisanceRange = {
  ...{ emf: [[5, 5]], noiseScale: 1, sourceOhms: [[20, 20]], loadOhms: [[1000, 1000]] },
};
const quiet = { noise: 0.05, halfStep: 0.01 };
const voltsAt = (t: number, emf = 5, load = 1000, source = 20) =>
  (emf * load) / (load + source + WIRE + t);
/** Contacts that show so many volts. */
const shows = (volts: number, emf = 5, load = 1000, source = 20) =>
  (emf * load) / volts - load - source - WIRE;
/** The noise along the axis, at contacts of t in all. */
const noiseAt = (t: number, scale: number, noise: number, emf = 5, load = 1000, source = 20) =>
  noiseAlong((at) => voltsAt(at, emf, load, source), t, scale, noise);
const placeOf = (t: number, scale: number, noise: number): Place => {
  const u = uOf(t, scale);
  return { low: u, high: u, width: noiseAt(Math.max(0, t), scale, noise) };
};
const expectRounded = (found: readonly Feature[], places: readonly Place[]) =>
  expectFeatures(found, places, Math.SQRT2);

describe("one reading", () => {
  test("on an axis of its load's scale its noise is one width everywhere", () => {
    for (const shown of [4.5, 2.4, 0.6]) {
      const found = circuitFeatures(pathOf([reading(0, shown, quiet)]), 1000, exact);
      expectRounded(found, [placeOf(shows(shown), 1000, 0.05)]);
    }
  });

  test("on a finer axis where its width differs by more than 1.4 it is a place of its own", () => {
    // Of 0, 2.5, 5 and 9 times the noise to either side: 1.9 wider at +5; 0.6 and 0.45 of it at -5, -9.
    const found = circuitFeatures(pathOf([reading(0, 4.5, quiet)]), 100, exact);
    const places = [0, 5, -5, -9].map((z) => placeOf(shows(4.5 + 0.05 * z), 100, 0.05));
    expectRounded(found, places);
    // Half the noise, by the meter or by the walk: another width only at -9, 0.65 of it.
    for (const [noise, noiseScale] of [
      [0.025, 1],
      [0.05, 0.5],
    ] as const) {
      const less = circuitFeatures(pathOf([reading(0, 4.5, { ...quiet, noise })]), 100, {
        ...exact,
        noiseScale,
      });
      expectRounded(
        less,
        [0, -9].map((z) => placeOf(shows(4.5 + 0.025 * z), 100, 0.025)),
      );
    }
  });

  test("volts that no path shows lie left of the axis, their noise taken at its beginning", () => {
    const found = circuitFeatures(pathOf([reading(0, 5.2, quiet)]), 1000, exact);
    expectRounded(found, [placeOf(shows(5.2), 1000, 0.05)]);
    expect(found[0]!.high).toBeLessThan(0);
    // 12 V would take -608 ohm, beyond half the scale: as far left as there is.
    const [far] = circuitFeatures(pathOf([reading(0, 12, quiet)]), 1000, exact);
    expect(far!.low).toBe(-1);
    expect(far!.high).toBe(-1);
    const [half] = circuitFeatures(pathOf([reading(0, 9.3, quiet)]), 1000, exact);
    expectRounded([half!], [placeOf(shows(9.3), 1000, 0.05)]);
  });

  test("a display of coarse steps varies at both ends of its step", () => {
    const coarse = { noise: 0.05, halfStep: 0.5 };
    const found = circuitFeatures(pathOf([reading(0, 3, coarse)]), 1000, exact);
    expectRounded(
      found,
      [2.5, 3.5].map((v) => placeOf(shows(v), 1000, 0.05)),
    );
    // Its half step under twice the noise it is one place.
    const one = circuitFeatures(
      pathOf([reading(0, 3, { noise: 0.3, halfStep: 0.5 })]),
      1000,
      exact,
    );
    expectRounded(one, [placeOf(shows(3), 1000, 0.3)]);
  });

  test("a zero varies where its step ends, and no nearer to nothing than an eighth of the noise", () => {
    const [main] = circuitFeatures(pathOf([reading(0, 0, quiet)]), 1000, exact);
    expectRounded([main!], [placeOf(shows(0.01), 1000, 0.05)]);
    // Along an axis of a hundred loads the noise is 1.7 times as wide where 0.00025 V are shown.
    const found = circuitFeatures(
      pathOf([reading(0, 0, { noise: 0.002, halfStep: 0.015 })]),
      100_000,
      exact,
    );
    expectRounded(
      found,
      [0.015, 0.00025].map((v) => placeOf(shows(v), 100_000, 0.002)),
    );
  });
});

describe("numbers that lie between two values", () => {
  const wide: NuisanceRange = {
    ...{ emf: [[4.8, 5.2]], noiseScale: 1, sourceOhms: [[10, 30]], loadOhms: [[900, 1100]] },
  };

  test("from where the least of them puts it to where the most does", () => {
    const found = circuitFeatures(pathOf([reading(0, 4, quiet)]), 1000, wide);
    const [low, high] = [shows(4, 4.8, 900, 30), shows(4, 5.2, 1100, 10)];
    const width = noiseAt(Math.max(0, low), 1000, 0.05, 5.2, 900, 10);
    expectRounded(found, [{ low: uOf(low, 1000), high: uOf(high, 1000), width }]);
  });

  test("what its supply was known to be off by moves it", () => {
    const own = reading(0, 4, { ...quiet, emfOffset: 0.5 });
    const found = circuitFeatures(pathOf([own]), 1000, exact);
    const t = shows(4, 5.5);
    const width = noiseAt(t, 1000, 0.05, 5.5);
    expectRounded(found, [{ low: uOf(t, 1000), high: uOf(t, 1000), width }]);
  });

  test("the source and the copper are in front of it", () => {
    const range: NuisanceRange = { ...exact, sourceOhms: [[400, 400]] };
    const far = circuit([{ ...joint, wireOhms: 300 }], [[reading(0, 2.2, quiet)]], {
      limitOhms: null,
    });
    // 5000 / 2.2 - 1700.
    const t = 572.7272727;
    // du is 1000 / 1572.7^2 of an ohm, and an ohm there 5000 / 2272.7^2 of a volt.
    const width = (0.05 * (1000 / 1572.727 ** 2)) / (5000 / 2272.727 ** 2);
    expectRounded(circuitFeatures(far, 1000, range), [
      { low: uOf(t, 1000), high: uOf(t, 1000), width },
    ]);
  });
});

describe("several readings", () => {
  const many = (shown: readonly number[]) =>
    circuitFeatures(pathOf(shown.map((v, i) => reading(i, v, quiet))), 1000, exact);
  const at = (volts: number) => placeOf(shows(volts), 1000, 0.05);

  test("of one place are narrower by the root of their number, up to six", () => {
    for (const [count, together] of [
      [2, 2],
      [6, 6],
      [9, 6],
    ] as const) {
      const found = many(Array.from({ length: count }, () => 4.2));
      expectRounded(found, [{ ...at(4.2), readings: together }]);
    }
  });

  test("that overlap are one from the first to the last, others each its own", () => {
    const [a, b] = [at(4.2), at(4.19)];
    expectRounded(many([4.2, 4.19]), [
      { low: a.low, high: b.high, width: Math.min(a.width, b.width), readings: 2 },
    ]);
    expectRounded(many([4.16, 4.2]), [
      { low: a.low, high: at(4.16).high, width: Math.min(a.width, at(4.16).width), readings: 2 },
    ]);
    expectRounded(many([4.2, 3]), [at(4.2), at(3)]);
  });

  const unlike = (own: readonly (readonly [shown: number, noise: number])[]) =>
    circuitFeatures(
      pathOf(own.map(([v, noise], i) => reading(i, v, { noise, halfStep: 0.001 }))),
      1000,
      exact,
    );

  test("whose noise is nearly the same are one, the narrower one's", () => {
    const [wide, narrow] = [placeOf(shows(4.2), 1000, 0.06), placeOf(shows(4.2), 1000, 0.05)];
    expect(wide.width).toBeGreaterThan(narrow.width);
    for (const [first, second] of [
      [0.06, 0.05],
      [0.05, 0.06],
    ] as const) {
      const found = unlike([
        [4.2, first],
        [4.2, second],
      ]);
      expectRounded(found, [{ ...narrow, readings: 2 }]);
    }
  });

  test.each([
    ["at one place", 4.2],
    // u = 0.1245, beside the rough one's 0.125.
    ["just in front", 4.2837],
  ])("of unlike noise each has its own width: %s", (_, shown) => {
    const found = unlike([
      [shown, 0.02],
      [4.2, 0.2],
    ]);
    const widths = found.map(({ width }) => width).sort((x, y) => x - y);
    expect(widths).toHaveLength(2);
    for (const [i, width] of [
      noiseAt(shows(shown), 1000, 0.02),
      noiseAt(shows(4.2), 1000, 0.2),
    ].entries()) {
      expect(widths[i]).toBeLessThan(1.001 * width);
      expect(widths[i]).toBeGreaterThan((0.999 * width) / Math.SQRT2);
    }
  });
});

describe("the limit", () => {
  test("is a quarter of itself wide, in front of it the copper", () => {
    const [found] = circuitFeatures(pathOf([], 205), 1000, exact);
    // u = 200 / 1200; du by ln t is u (1 - u).
    expect(found!.low).toBeCloseTo(1 / 6, 12);
    expect(found!.width).toBeCloseTo((0.25 * 5) / 36, 12);
  });

  test("at or under the copper there is none", () => {
    expect(circuitFeatures(pathOf([], WIRE), 1000, exact)).toEqual([]);
    expect(circuitFeatures(pathOf([], 3), 1000, exact)).toEqual([]);
    expect(circuitFeatures(pathOf([]), 1000, exact)).toEqual([]);
  });
});

test("the axis of a path without links has no end", () => {
  expect(axisEnd({ ...pathOf([]), links: [], readings: [] }, [])).toBe(1);
});
