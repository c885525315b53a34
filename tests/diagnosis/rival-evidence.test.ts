import { describe, expect, test } from "vitest";
import { diagnose } from "../../src/diagnosis/diagnose.ts";
import { wrongLoad } from "../../src/diagnosis/explanations.ts";
import { circuitNodes, solve } from "../../src/diagnosis/solve.ts";
import { swappedPoints } from "../../src/diagnosis/swapped.ts";
import { ohms } from "../../src/domain/units.ts";
import type { TestPool as Pool } from "../plain-pool.ts";
import { link, meter, type Shown, sheet, smallPool } from "../reference/builders.ts";
import { deviceLogEvidence, type Grid } from "../reference/device-evidence.ts";
import { partOf, readPart } from "./part.ts";

/** Rival explanations of the readings against dense quadrature (tests/reference): computed. */

const chain = [link("plate", "lane", 2, 0.08, 0.02), link("pod", "device", 0.3, 0, 0.12)];
const grid: Grid = { emf: [4.7, 5.3, 61], sound: 0.5, fouled: 0.05, loops: 1 };
const along = (device: string, shown: readonly number[]): Shown[] =>
  shown.map((one, k): Shown => [1, device, chain[k]!.point, one]);

describe("readings in each other's place", () => {
  const pool = smallPool([1], ["pad", "button"], { chain });

  test.each([
    ["a pod that reads more than its plate", [4.6, 4.97]],
    ["a pod that reads a little more than its plate", [4.86, 4.97]],
  ])(
    "%s",
    (_, shown) => {
      const sound = along("button", [4.98, 4.99]);
      const written = sheet([...along("pad", shown), ...sound]);
      const exchanged = sheet([...along("pad", [...shown].reverse()), ...sound]);
      const expected =
        deviceLogEvidence(pool, exchanged, null, grid) -
        deviceLogEvidence(pool, written, null, grid);
      const walk = readPart(pool, written);
      const { lanes, emf } = solve(walk);
      const [circuit] = walk.lanes[0]!.circuits;
      const nodes = circuitNodes(emf, 0, 0);
      const [found] = swappedPoints(partOf(pool), lanes[0]!.circuits[0]!, circuit!, nodes);
      expect(Math.abs(found!.logBayesFactor - expected)).toBeLessThan(0.01);
      // One pair of points: the whole prior of 0.01 is its own.
      const odds = (Math.exp(expected) * 0.01) / 0.99;
      expect(Math.abs(found!.probability - odds / (1 + odds))).toBeLessThan(0.005);
    },
    120_000,
  );
});

describe("another load than the pool file's", () => {
  const withLoad = (loadOhms: number): Pool =>
    smallPool([1], ["pad", "button", "start"], {
      chain,
      meters: [meter("deck", loadOhms, 0.01)],
    });

  test("is as likely as brute force says", () => {
    const readings = sheet([
      ...along("pad", [4.86, 4.84]),
      ...along("button", [4.87, 4.85]),
      ...along("start", [4.85, 4.85]),
    ]);
    const filed = withLoad(220);
    const contacts = diagnose(filed, readings).contacts.map((one) => ({ ...one, sound: 0.1 }));
    const logEvidenceAt = (factor: number): number =>
      solve(readPart(withLoad(220 * factor), readings)).emf.logEvidence;
    const [found] = wrongLoad(partOf(filed), contacts, logEvidenceAt(1), logEvidenceAt);
    // Model, section 5, and the rule that is stated beside it: four factors, equally likely.
    const plain = deviceLogEvidence(filed, readings, null, grid);
    const factors = [0.25, 0.5, 2, 4].map((factor) => {
      const other = withLoad(ohms(220 * factor));
      return Math.exp(deviceLogEvidence(other, readings, null, grid) - plain);
    });
    const mean = factors.reduce((sum, one) => sum + one, 0) / 4;
    expect(Math.abs(found!.logBayesFactor - Math.log(mean))).toBeLessThan(0.01);
    const odds = (mean * 0.02) / 0.98;
    expect(Math.abs(found!.probability - odds / (1 + odds))).toBeLessThan(0.005);
  }, 120_000);
});
