import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { volts } from "../../src/domain/units.ts";
import { type GaugeReading, gaugeStudy } from "../../src/meter/gauge-study.ts";

/** Ten parts by three appraisers by three trials: rows are parts, columns A1 A2 A3 B1 ... C3. */
const published = [
  [0.29, 0.41, 0.64, 0.08, 0.25, 0.07, 0.04, -0.11, -0.15],
  [-0.56, -0.68, -0.58, -0.47, -1.22, -0.68, -1.38, -1.13, -0.96],
  [1.34, 1.17, 1.27, 1.19, 0.94, 1.34, 0.88, 1.09, 0.67],
  [0.47, 0.5, 0.64, 0.01, 1.03, 0.2, 0.14, 0.2, 0.11],
  [-0.8, -0.92, -0.84, -0.56, -1.2, -1.28, -1.46, -1.07, -1.45],
  [0.02, -0.11, -0.21, -0.2, 0.22, 0.06, -0.29, -0.67, -0.49],
  [0.59, 0.75, 0.66, 0.47, 0.55, 0.83, 0.02, 0.01, 0.21],
  [-0.31, -0.2, -0.17, -0.63, 0.08, -0.34, -0.46, -0.56, -0.49],
  [2.26, 1.99, 2.01, 1.8, 2.12, 2.19, 1.77, 1.45, 1.87],
  [-1.36, -1.25, -1.31, -1.68, -1.62, -1.5, -1.49, -1.77, -2.16],
];

const readings = (table: readonly (readonly number[])[], repeats: number): GaugeReading[] =>
  table.flatMap((row, part) =>
    row.map((value, column) => ({
      point: `part ${part + 1}`,
      by: "ABCDEFGH"[Math.floor(column / repeats)]!,
      volts: volts(value),
    })),
  );
const studied = (...args: Parameters<typeof gaugeStudy>) => {
  const found = gaugeStudy(...args);
  if (!found.ok) throw new Error(found.error.kind);
  return found.value;
};

describe("the example study of AIAG, Measurement Systems Analysis, 4th ed.", () => {
  // Results as published by a statistics package (check values G6-13, verified).
  const study = studied(readings(published, 3));

  test("sums of squares", () => {
    expect(study.anova.points.sumOfSquares).toBeCloseTo(88.3619, 3);
    expect(study.anova.people.sumOfSquares).toBeCloseTo(3.1673, 3);
    expect(study.anova.interaction.sumOfSquares).toBeCloseTo(0.359, 3);
    expect(study.anova.repeat.sumOfSquares).toBeCloseTo(2.7589, 3);
    expect(study.anova.total.sumOfSquares).toBeCloseTo(94.6471, 3);
  });

  test("the interaction is none: F 0.434, P 0.974, pooled to 78 degrees of freedom", () => {
    const { interaction, repeat, points, people } = study.anova;
    const meanSquare = (e: typeof repeat) => e.sumOfSquares / e.degreesOfFreedom;
    expect((1000 * meanSquare(interaction)) / meanSquare(repeat)).toBeGreaterThan(432);
    expect((1000 * meanSquare(interaction)) / meanSquare(repeat)).toBeLessThan(436);
    expect(Math.abs(meanSquare(points) / meanSquare(interaction) - 492.291)).toBeLessThan(0.2);
    expect(Math.abs(meanSquare(people) / meanSquare(interaction) - 79.406)).toBeLessThan(0.2);
    expect(Math.abs(study.interactionP - 0.974)).toBeLessThan(0.002);
    expect(study.interactionPooled).toBe(true);
    expect(interaction.degreesOfFreedom + repeat.degreesOfFreedom).toBe(78);
  });

  test("variances of repeats, appraisers and parts", () => {
    expect(Math.abs(study.repeatability.median ** 2 - 0.03997)).toBeLessThan(5e-5);
    expect(Math.abs(study.reproducibility ** 2 - 0.05146)).toBeLessThan(5e-5);
    expect(Math.abs(study.gauge ** 2 - 0.09143)).toBeLessThan(5e-5);
    expect(Math.abs(study.betweenPoints ** 2 - 1.08645)).toBeLessThan(5e-4);
  });

  test("7.76 % of the variance, 27.86 % of the spread, four categories", () => {
    expect(Math.abs(100 * study.contribution - 7.76)).toBeLessThan(0.02);
    expect(Math.abs(100 * study.shareOfSpread - 27.86)).toBeLessThan(0.02);
    expect(study.distinctCategories).toBe(4);
  });

  test("the order of the rows is none", () => {
    const shuffled = readings(published, 3).reverse();
    expect(studied(shuffled).gauge).toBeCloseTo(study.gauge, 12);
  });
});

test("an interaction that is there stays in, and counts with the people", () => {
  // Two points, two people, two repeats, worked by hand: cell means 1, 2 / 4, 3, each value 0.1 off
  // its mean. Mean squares: points 2*2*(1.5-2.5)^2*2 = 8, people 0, interaction 2*4*0.25 = 2,
  // repeats 8*0.01/4 = 0.02. Interaction (2 - 0.02) / 2 = 0.99; points (8 - 2) / 4 = 1.5.
  const study = studied(
    readings(
      [
        [0.9, 1.1, 1.9, 2.1],
        [3.9, 4.1, 2.9, 3.1],
      ],
      2,
    ),
  );
  expect(study.interactionPooled).toBe(false);
  expect(study.repeatability.median ** 2).toBeCloseTo(0.02, 10);
  expect(study.reproducibility ** 2).toBeCloseTo(0.99, 10);
  expect(study.betweenPoints ** 2).toBeCloseTo(1.5, 10);
});

test("two readings by one person differ by less than the limit, 19 times in 20", () => {
  // ISO 5725-6: 1.96 * sqrt(2) = 2.77 standard deviations (common practice: 2.8).
  const study = studied(readings(published, 3));
  expect(study.repeatabilityLimit / study.repeatability.median).toBeCloseTo(2.77, 2);
  expect(study.reproducibilityLimit / study.gauge).toBeCloseTo(2.77, 2);
});

test("the sums of squares add up, and shifting every reading changes nothing", () => {
  const value = fc.double({ min: 0, max: 5, noNaN: true });
  fc.assert(
    fc.property(
      fc.array(fc.array(value, { minLength: 6, maxLength: 6 }), { minLength: 2, maxLength: 5 }),
      (table) => {
        const { anova } = studied(readings(table, 2));
        const { points, people, interaction, repeat, total } = anova;
        const parts = [points, people, interaction, repeat];
        const sum = parts.reduce((all, part) => all + part.sumOfSquares, 0);
        expect(sum).toBeCloseTo(total.sumOfSquares, 8);
        expect(parts.reduce((all, part) => all + part.degreesOfFreedom, 0)).toBe(
          total.degreesOfFreedom,
        );
        const shifted = studied(
          readings(
            table.map((row) => row.map((v) => v + 100)),
            2,
          ),
        );
        expect(shifted.gauge).toBeCloseTo(studied(readings(table, 2)).gauge, 8);
      },
    ),
  );
});

describe("studies that cannot be analysed", () => {
  test("a person who skipped a point is named", () => {
    const gap = readings(published, 3).filter(
      ({ point, by }) => !(point === "part 4" && by === "B"),
    );
    expect(gaugeStudy(gap)).toEqual({
      ok: false,
      error: { kind: "unbalanced", point: "part 4", by: "B", found: 0, expected: 3 },
    });
  });

  test("one person, or nothing read twice", () => {
    const alone = readings(published, 3).filter(({ by }) => by === "A");
    expect(gaugeStudy(alone)).toMatchObject({
      error: { kind: "too-small", points: 10, people: 1 },
    });
    const once = readings(
      [
        [1, 2],
        [3, 4],
      ],
      1,
    );
    expect(gaugeStudy(once)).toMatchObject({ error: { kind: "no-repeats" } });
  });

  test("a display that never moves has no spread at all", () => {
    const still = studied(
      readings(
        [
          [5, 5, 5, 5],
          [5, 5, 5, 5],
        ],
        2,
      ),
    );
    expect(still.gauge).toBe(0);
    expect(still.contribution).toBe(0);
  });
});
