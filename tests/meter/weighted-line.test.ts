import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { weightedLine } from "../../src/meter/weighted-line.ts";

const within = (got: number, expected: number, relative: number) =>
  expect(Math.abs(got / expected - 1)).toBeLessThan(relative);

test("NIST StRD Norris: certified values to nine digits and more", () => {
  // https://www.itl.nist.gov/div898/strd/lls/data/Norris.shtml (verified; 36 observations).
  const x = [
    0.2, 337.4, 118.2, 884.6, 10.1, 226.5, 666.3, 996.3, 448.6, 777.0, 558.2, 0.4, 0.6, 775.5,
    666.9, 338.0, 447.5, 11.6, 556.0, 228.1, 995.8, 887.6, 120.2, 0.3, 0.3, 556.8, 339.1, 887.2,
    999.0, 779.0, 11.1, 118.3, 229.2, 669.1, 448.9, 0.5,
  ];
  const y = [
    0.1, 338.8, 118.1, 888.0, 9.2, 228.1, 668.5, 998.5, 449.1, 778.9, 559.2, 0.3, 0.1, 778.1, 668.8,
    339.3, 448.9, 10.8, 557.7, 228.3, 998.0, 888.8, 119.6, 0.3, 0.6, 557.6, 339.3, 888.0, 998.5,
    778.9, 10.2, 117.6, 228.9, 668.4, 449.2, 0.2,
  ];
  const line = weightedLine(x.map((at, i) => ({ x: at, y: y[i]!, weight: 1 })));
  within(line.intercept, -0.262323073774029, 1e-11);
  within(line.slope, 1.00211681802045, 1e-13);
  within(Math.sqrt(line.interceptVariance), 0.232818234301152, 1e-12);
  within(Math.sqrt(line.slopeVariance), 0.000429796848199937, 1e-12);
  within(line.residualSd, 0.884796396144373, 1e-12);
  expect(line.degreesOfFreedom).toBe(34);
});

test("JCGM 100:2008 H.3, calibration of a thermometer", () => {
  // Table H.6 and its results, at 20 degrees as origin (memory: table and results recalled).
  const at = [
    21.521, 22.012, 22.512, 23.003, 23.507, 23.999, 24.513, 25.002, 25.503, 26.01, 26.511,
  ];
  const off = [171, 169, 166, 159, 164, 165, 156, 157, 159, 161, 160].map((milli) => -milli / 1000);
  const line = weightedLine(at.map((t, i) => ({ x: t - 20, y: off[i]!, weight: 1 })));
  expect(line.intercept).toBeCloseTo(-0.1712, 4);
  expect(line.slope).toBeCloseTo(0.00218, 5);
  expect(Math.sqrt(line.interceptVariance)).toBeCloseTo(0.0029, 4);
  expect(Math.sqrt(line.slopeVariance)).toBeCloseTo(0.00067, 5);
  const correlation = line.covariance / Math.sqrt(line.interceptVariance * line.slopeVariance);
  expect(correlation).toBeCloseTo(-0.93, 3);
});

describe("weights", () => {
  const coordinate = fc.double({ min: -100, max: 100, noNaN: true });

  test("a point of weight 3 counts as the point three times", () => {
    fc.assert(
      fc.property(fc.array(coordinate, { minLength: 3, maxLength: 8 }), (values) => {
        const points = values.map((y, x) => ({ x, y, weight: x === 1 ? 3 : 1 }));
        const repeated = points.flatMap((point) =>
          Array.from({ length: point.weight }, () => ({ ...point, weight: 1 })),
        );
        const [once, thrice] = [weightedLine(points), weightedLine(repeated)];
        expect(once.slope).toBeCloseTo(thrice.slope, 8);
        expect(once.intercept).toBeCloseTo(thrice.intercept, 8);
      }),
    );
  });

  test("only their ratio matters", () => {
    const points = [3, 1, 4, 1, 5].map((y, x) => ({ x, y, weight: x + 1 }));
    const scaled = points.map((point) => ({ ...point, weight: point.weight * 7 }));
    const [one, other] = [weightedLine(points), weightedLine(scaled)];
    expect(one.slopeVariance).toBeCloseTo(other.slopeVariance, 12);
    expect(one.intercept).toBeCloseTo(other.intercept, 12);
  });
});

test("two points, or one place, do not make a line with a scatter", () => {
  const at = (x: number) => ({ x, y: 1, weight: 1 });
  expect(() => weightedLine([at(0), at(1)])).toThrow("three points, got 2");
  expect(() => weightedLine([at(2), at(2), at(2)])).toThrow("two places");
});
