import { expect, test } from "vitest";
import { mixedUp } from "../../../src/diagnosis/rivals/mixed-up.ts";
import type { WalkProblem } from "../../../src/inference/problem.ts";
import { chances, circuit, link, reading, walkOf } from "../../inference/small-walks.ts";

/**
 * Volts can only fall on the way out: 3.9 V in front of 4.9 V are two misread values, or a pair of rows
 * in the wrong order. One way in each kind's chance of 0.005, evenly among the pairs there are.
 */
const nuisance = { emf: [5], drift: 0, noiseScale: 1, sourceOhms: [20], loadOhms: [1000] };
const fine = { noise: 0.02, halfStep: 0.005, tails: 0 };
const links = [link(1, chances({ fouled: 0.1 })), link(1, chances({ fouled: 0.1 }))];
const path = (first: number, a: number, b: number) =>
  circuit(links, [[reading(first, a, fine)], [reading(first + 1, b, fine)]]);
const shownIn = ({ circuits }: WalkProblem) =>
  circuits.map(({ readings }) => readings.map((row) => row.map(({ index }) => index)));
const kinds = (walk: WalkProblem) =>
  new Map(mixedUp(walk, nuisance).map((rival) => [rival.kind, rival]));

test("two points of one circuit in the wrong order", () => {
  const walk = walkOf([path(0, 4.86, 4.85), path(2, 3.9, 4.86)]);
  const rival = kinds(walk).get("points-swapped")!;
  expect(rival).toMatchObject({ circuit: 1, link: 0, other: 1, logSpread: 0 });
  expect(rival.logOdds).toBeCloseTo(Math.log(0.005 / 2), 12);
  expect(shownIn(rival.problem)).toEqual([
    [[0], [1]],
    [[3], [2]],
  ]);
  expect(rival.logRatio).toBeGreaterThan(0);
});

test("two circuits crossed behind a link, or their rows exchanged", () => {
  // What each shows behind the second link is the other's: 3.9 V in front, 3.89 V behind.
  const crossed = kinds(walkOf([path(0, 4.86, 3.89), path(2, 3.9, 4.85)])).get("crossed")!;
  expect(crossed).toMatchObject({ circuit: 0, link: 1, other: 1 });
  expect(crossed.logOdds).toBeCloseTo(Math.log(0.005), 12);
  expect(shownIn(crossed.problem)).toEqual([
    [[0], [3]],
    [[2], [1]],
  ]);
  expect(crossed.logRatio).toBeGreaterThan(3);
  const rows = kinds(walkOf([path(0, 4.86, 4.85), path(2, 3.9, 3.88)])).get("rows-swapped")!;
  expect(rows).toMatchObject({ circuit: 0, link: null, other: 1 });
  expect(shownIn(rows.problem)).toEqual([
    [[2], [3]],
    [[0], [1]],
  ]);
  // Circuits alike but for their names: neither way is likelier.
  expect(rows.logRatio).toBeCloseTo(0, 9);
});

test("circuits of another supply or length are not mixed up", () => {
  const short = circuit(links.slice(0, 1), [[reading(2, 4.86, fine)]]);
  expect([...kinds(walkOf([path(0, 4.86, 4.85), short])).keys()]).not.toContain("crossed");
  const other = { ...path(2, 4.86, 4.85), supply: 1 };
  const two = walkOf([path(0, 4.86, 4.85), other]);
  const walk = { ...two, supplies: [two.supplies[0]!, two.supplies[0]!] };
  const both = { ...nuisance, emf: [5, 5], sourceOhms: [20, 20] };
  expect(mixedUp(walk, both).map(({ kind }) => kind)).not.toContain("rows-swapped");
});

test("a point that nobody read is in no pair", () => {
  const three = [...links, links[0]!];
  const gap = circuit(three, [[reading(0, 3.9, fine)], [], [reading(1, 4.86, fine)]]);
  const rival = kinds(walkOf([gap])).get("points-swapped")!;
  expect(rival).toMatchObject({ link: 0, other: 2 });
  expect(rival.logOdds).toBeCloseTo(Math.log(0.005), 12);
});

test("circuits that stand apart in the walk are mixed up as well as neighbours", () => {
  const crossed = kinds(walkOf([path(0, 4.86, 3.89), path(2, 4.86, 4.85), path(4, 3.9, 4.85)]));
  expect(crossed.get("crossed")).toMatchObject({ circuit: 0, link: 1, other: 2 });
  expect(crossed.get("crossed")!.logOdds).toBeCloseTo(Math.log(0.005 / 3), 12);
  expect(shownIn(crossed.get("crossed")!.problem)).toEqual([
    [[0], [5]],
    [[2], [3]],
    [[4], [1]],
  ]);
});

test("where no pair could come to a part in 400 there is none", () => {
  const lone = circuit(links.slice(0, 1), [[reading(0, 4.86, fine)]]);
  expect(mixedUp(walkOf([lone]), nuisance)).toEqual([]);
  // What a sound path shows, to the volt: nothing is to be gained. One pair has e^-5.3, three have each e^-6.4.
  const still = [link(1, chances({})), link(1, chances({}))];
  const exact = (n: number) =>
    walkOf(
      Array.from({ length: n }, (_, c) =>
        circuit(still, [
          [reading(2 * c, 5000 / 1021.28, fine)],
          [reading(2 * c + 1, 5000 / 1022.56, fine)],
        ]),
      ),
    );
  expect([...kinds(exact(2)).keys()]).toEqual(["points-swapped", "rows-swapped", "crossed"]);
  expect([...kinds(exact(3)).keys()]).toEqual([]);
});
