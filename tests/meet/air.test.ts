import { describe, expect, test } from "vitest";
import {
  celsiusOf,
  fahrenheitOf,
  pascalsAfterStrokes,
  pascalsAtTemperature,
  strokesForTemperature,
} from "../../src/meet/gas-law.ts";
import { airChange } from "../../src/meet/pads-due.ts";
import {
  geopotentialMetres,
  standardKelvins,
  standardPascals,
} from "../../src/meet/standard-atmosphere.ts";

describe("standard atmosphere", () => {
  // Source: ISO 2533:1975 formula at geopotential heights; check values G9-01 (computed; the
  // sea-level constants 1013.25 hPa, 15 °C, 6.5 K/km were seen).
  test.each([
    [0, 101_325.0, 288.15],
    [500, 95_460.8, 284.9],
    [1000, 89_874.6, 281.65],
    [1500, 84_556.0, 278.4],
    [2000, 79_495.2, 275.15],
  ])("geopotential %d m", (height, pascals, kelvins) => {
    expect(Math.abs(standardPascals(height) - pascals)).toBeLessThan(0.06);
    expect(standardKelvins(height)).toBeCloseTo(kelvins, 9);
  });

  // Source: U.S. Standard Atmosphere 1976, table by geometric altitude, 2000 m: 79 501 Pa,
  // 275.15 K; check values G9-02 (verified, quoted by a third party).
  test("geometric 2000 m is 79 501 Pa, not the 79 495 Pa of geopotential 2000 m", () => {
    const height = geopotentialMetres(2000);
    expect(Math.abs(standardPascals(height) / 79_501 - 1)).toBeLessThan(1e-5);
    expect(Math.abs(standardPascals(2000) - 79_501)).toBeGreaterThan(5);
    expect(Math.abs(standardKelvins(height) - 275.15)).toBeLessThan(0.006);
  });

  test("outside the troposphere it refuses", () => {
    expect(() => standardPascals(12_000)).toThrow("-2000 to 11000");
  });
});

const at = (altitudeMetres: number) => ({ altitudeMetres, pump: null });

describe("gas law", () => {
  // Source: P2/P1 = T2/T1; check values G9-03 (computed).
  test.each([
    [25, 104_841.4],
    [30, 106_599.5],
    [0, 96_050.5],
  ])("sealed at 15 °C, then %d °C", (celsius, pascals) => {
    expect(Math.abs(pascalsAtTemperature(101_325, 15, celsius) - pascals)).toBeLessThan(0.1);
  });

  // Source: 1 K is 0.347 % at 15 °C, 352 Pa; notes of check values G9-03 (computed).
  test("one kelvin at sea level", () => {
    const air = airChange(15, 16, at(0));
    expect(air.relative).toBeCloseTo(0.00347, 5);
    expect(Math.abs(air.pascals - 351.6)).toBeLessThan(0.1);
    // Relative change does not depend on height, the pascals do.
    expect(airChange(15, 16, at(1500)).relative).toBeCloseTo(air.relative, 12);
    expect(airChange(15, 16, at(1500)).pascals).toBeLessThan(air.pascals);
  });

  // Source: P_n = P0 (V/(V+v))^n; check values G9-05 (computed).
  test.each([
    [1, 92_113.6],
    [5, 62_914.9],
    [10, 39_065.2],
    [25, 9_352.0],
  ])("after %d strokes", (strokes, pascals) => {
    expect(Math.abs(pascalsAfterStrokes(101_325, 1, 0.1, strokes) - pascals)).toBeLessThan(0.2);
  });

  test("half the pressure is gone at the eighth stroke (G9-05, computed)", () => {
    expect(pascalsAfterStrokes(1, 1, 0.1, 7)).toBeGreaterThan(0.5);
    expect(pascalsAfterStrokes(1, 1, 0.1, 8)).toBeLessThan(0.5);
  });

  // By hand: each stroke of 0.1 L on 1 L divides by 1.1; 3 K at 297.15 K multiply by 1.010096:
  // ln 1.010096 / ln 1.1 = 0.1054. Against the law itself: those strokes undo the change.
  test("strokes that undo a change of temperature", () => {
    const strokes = strokesForTemperature(1, 0.1, 24, 27);
    expect(strokes).toBeCloseTo(0.1054, 4);
    const warm = pascalsAtTemperature(101_325, 24, 27);
    expect(pascalsAfterStrokes(warm, 1, 0.1, strokes)).toBeCloseTo(101_325, 6);
    const pump = { padLitres: 1, strokeLitres: 0.1 };
    expect(airChange(24, 27, { altitudeMetres: 0, pump }).strokes).toBe(strokes);
  });

  // Source: fixed points of water by definition of the Fahrenheit scale; and NIOSH's 53 °F flash
  // point printed with 11.7 °C (check values G11-01).
  test("Fahrenheit and Celsius", () => {
    expect(celsiusOf(32, "F")).toBe(0);
    expect(celsiusOf(212, "F")).toBe(100);
    expect(fahrenheitOf(100)).toBe(212);
    expect(celsiusOf(53, "F")).toBeCloseTo(11.7, 1);
  });
});
