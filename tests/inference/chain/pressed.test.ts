import { expect, test } from "vitest";
import { ohms } from "../../../src/domain/units.ts";
import { buildMesh, panelTree } from "../../../src/inference/chain/mesh.ts";
import {
  isPressedInside,
  pressedAtEnd,
  pressedEnd,
  pressedIfOpen,
  pressedLikelihood,
} from "../../../src/inference/chain/pressed.ts";
import { shownChance } from "../path-leaves.ts";
import { chances, circuit, link, reading } from "../small-walks.ts";

/** A closed switch of ln Rd ~ Normal(ln 2 ohm, 1) by the trapezoidal rule, the volts by Ohm's law. */
const quiet = { noise: 0.02, halfStep: 0.005 };
const pressedTo = (...shown: readonly number[]) =>
  circuit([link(3, chances({})), link(5, chances({}))], [[], []], {
    pressed: [[], shown.map((v, i) => reading(i, v, { ...quiet, order: 0.5 }))],
  });
const nuisance = { emf: [4.9], drift: 0.2, noiseScale: 1.5, sourceOhms: [20], loadOhms: [1000] };

function byHand(shown: readonly number[], before: number, beside: number): number {
  const steps = 4000;
  let sum = 0;
  for (let i = 0; i <= steps; i++) {
    const z = -6 + (12 * i) / steps;
    const closed = 2 * Math.exp(z);
    const across = 1 / (1 / closed + 1 / 1000 + 1 / beside);
    const volts = (5 * across) / (across + before);
    const likely = shown.reduce(
      (product, v, k) => product * shownChance(reading(k, v, quiet), volts, 1.5),
      1,
    );
    sum += ((likely * Math.exp(-0.5 * z * z)) / Math.sqrt(2 * Math.PI)) * (12 / steps);
  }
  return sum;
}

test.each([
  [[0.25], 40],
  [[0.25, 0.27], 40],
  [[0.25, 0.4], 40],
  [[0.01], 300],
  [[3.3], 2],
  [[0], 40],
  [[4.6], 40],
])("%j V behind %d ohm is as likely as by hand", (shown, before) => {
  for (const beside of [Number.POSITIVE_INFINITY, 50]) {
    const found = pressedLikelihood(pressedTo(...shown), nuisance, ohms(before), ohms(beside));
    expect(Math.abs(found / byHand(shown, before, beside) - 1)).toBeLessThan(0.002);
  }
});

test("nothing pressed is as likely as not to be pressed", () => {
  expect(pressedLikelihood(pressedTo(), nuisance, ohms(40), ohms(Infinity))).toBeCloseTo(1, 6);
  expect(pressedIfOpen(pressedTo(), nuisance)).toBe(1);
  expect(pressedEnd(pressedTo(), 2, buildMesh(panelTree(1000), []), nuisance)).toBeNull();
});

test("at a path's end it is a row by the contacts' resistance, the same for each suffix", () => {
  const mesh = buildMesh(panelTree(1000), []);
  const own = pressedTo(0.25);
  const end = pressedEnd(own, 2, mesh, nuisance)!;
  const size = mesh.t.length;
  expect(end.link).toBe(1);
  expect(end.rows).toHaveLength(2 * size);
  for (const m of [0, 3, 9]) {
    // 20 of source and 8 of copper in front of the contacts.
    const expected = pressedLikelihood(own, nuisance, ohms(28 + mesh.t[m]!), ohms(Infinity));
    expect(end.rows[m]).toBeCloseTo(expected, 12);
    expect(end.rows[size + m]).toBe(end.rows[m]);
  }
  const twice = pressedTo(0.25, 0.02);
  const chance = (v: number) => shownChance(reading(0, v, quiet), 0, 1.5);
  expect(pressedEnd(twice, 1, mesh, nuisance)!.ifOpen / (chance(0.25) * chance(0.02))).toBeCloseTo(
    1,
    6,
  );
});

test("pressed at the device or in front of it", () => {
  const own = pressedTo(0.25);
  expect(pressedAtEnd(own).map(({ shown }) => shown)).toEqual([0.25]);
  expect(isPressedInside(own)).toBe(false);
  expect(isPressedInside({ ...own, pressed: own.pressed.toReversed() })).toBe(true);
  expect(pressedAtEnd({ ...own, pressed: [] })).toEqual([]);
});
