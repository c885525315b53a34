import { expect, test } from "vitest";
import { type CircuitView, evidenceFor } from "../../src/diagnosis/evidence.ts";
import type { ContactFinding } from "../../src/domain/findings.ts";
import { chances, circuit, link, reading } from "../inference/small-walks.ts";
import { steady } from "../made-findings.ts";
import { type Shown, sheet, smallPool } from "../reference/builders.ts";

/**
 * Four contacts and 1 ohm of copper before each, 5 V and a source of 10 ohm in front of 1000: equation
 * (1) by hand. A sound contact is 0.2 ohm at its median, a fouled one 60.
 */
const pool = smallPool([1], ["a"]);
const [own] = pool.circuits;
const points = own!.path.map(({ point }) => point);
const fine = { noise: 0.02, halfStep: 0.005, tails: 0, slope: 1, floor: 1e-30 };
const nuisance = { emf: [5], drift: 0, noiseScale: 1, sourceOhms: [10], loadOhms: [1000] };
const found = (of: Partial<ContactFinding> = {}, ohms = 0.2): ContactFinding => ({
  ...{ lane: 1, device: "a", end: null, point: "", sound: 1, fouled: 0, open: 0, ...steady },
  ...{ ohms: { median: ohms, low: ohms, high: ohms }, voltsLost: 0 },
  ...of,
});
/** @param shown By link, what was read behind it. */
function view(
  contacts: readonly ContactFinding[],
  shown: readonly (readonly number[])[],
  over: Partial<CircuitView> = {},
): CircuitView {
  let index = 0;
  const rows: Shown[] = shown.flatMap((all, k) => all.map((v): Shown => [1, "a", points[k]!, v]));
  const readings = shown.map((all) => all.map((v) => reading(index++, v, fine)));
  const problem = circuit(
    points.map(() => link(1, chances({}))),
    readings,
  );
  return {
    ...{ circuit: own!, problem, contacts, conducts: false, nuisance, readings: sheet(rows) },
    ...over,
  };
}
const behind = (copper: number, contacts: number) => 5000 / (1010 + copper + contacts);

const fouled = { sound: 0.02, fouled: 0.98 };
const three = [found(), found(fouled, 100), found(), found()];

test("a reading behind a suspect speaks for it where the suspect explains it better", () => {
  const all = evidenceFor(pool, view(three, [[4.94], [4.5, 4.93], [], [4.49]]), 1);
  // In front of it nothing is said. Behind it, sound: 2 ohm of copper and two contacts, then 4 and 4.
  expect(all.map(({ point, volts, speaks }) => [point, volts, speaks])).toEqual([
    ["harness", 4.5, "for"],
    ["harness", 4.93, "against"],
    ["pod", 4.49, "for"],
  ]);
  expect(all[0]).toMatchObject({ lane: 1, device: "a", end: null });
  expect(all[0]!.expectedIfSound).toBeCloseTo(behind(2, 0.4), 12);
  expect(all[1]!.expectedIfSound).toBeCloseTo(behind(2, 0.4), 12);
  expect(all[2]!.expectedIfSound).toBeCloseTo(behind(4, 0.8), 12);
});

test("of a contact found sound the question is what a fouled or an open one would show", () => {
  const sound = [found(), found(), found(), found()];
  const said = (shown: number, contacts = sound) =>
    evidenceFor(pool, view(contacts, [[], [shown], [], []]), 1).map(({ speaks }) => speaks);
  expect(said(4.94)).toEqual(["against"]);
  // 5000 / (1012 + 0.2 + 60) = 4.66; and 0 of an open one.
  expect(said(4.66)).toEqual(["for"]);
  expect(said(0)).toEqual(["for"]);
  // What no state of it explains says nothing: 2.5 V is as unlikely by all of them.
  expect(said(2.5)).toEqual([]);
  // Good between bad moments is good: its 100 ohm are of some moments alone.
  const loose = sound.with(1, found({ sound: 0.1, intermittent: 0.45 }, 100));
  expect(said(4.66, loose)).toEqual(["for"]);
  const even = sound.with(1, found({ sound: 0.1, intermittent: 0.4, fouled: 0.5 }, 100));
  expect(said(4.66, even)).toEqual(["for"]);
  // 5000 / 1112.2 = 4.50: 4.45 was found so, but is not what 60 ohm would show.
  expect(said(4.45, even)).toEqual(["for"]);
  expect(said(4.45, loose)).toEqual([]);
});

test("behind an open contact a reading of 0 says nothing of the others", () => {
  const open = [found({ sound: 0, open: 1 }, Number.POSITIVE_INFINITY), found(fouled, 100)];
  const contacts = [...open, found(), found()];
  expect(evidenceFor(pool, view(contacts, [[], [], [0], [0]]), 1)).toEqual([]);
  const own = evidenceFor(pool, view(contacts, [[0], [], [0], []]), 0);
  expect(own.map(({ point, speaks }) => `${point} ${speaks}`)).toEqual(["timer for", "plate for"]);
});

test("two displays of a tenth in ln say nothing, on either side", () => {
  // With s = 0.02 V, ifSound V0 = behind(1, 0.2) and V1 = behind(1, r): ln of the likelihoods' ratio is
  // (V0 - V1)(V0 + V1 - 2 v) / 2 s^2, by the densities. A contact of 5 ohm: V0 - V1 = 0.0233 V.
  const r = 5;
  const [v0, v1] = [behind(1, 0.2), behind(1, r)];
  const at = (log: number) => (v0 + v1) / 2 - (log * 0.02 ** 2) / (v0 - v1);
  const said = (log: number) => {
    const contacts = [found(fouled, r), found(), found(), found()];
    return evidenceFor(pool, view(contacts, [[at(log)], [], [], []]), 0).map(
      ({ speaks }) => speaks,
    );
  };
  expect([-0.12, -0.08, 0.08, 0.12].map(said)).toEqual([["against"], [], [], ["for"]]);
});

test("the supply's drift and the walk's noise are reckoned with", () => {
  const drifting = { ...nuisance, drift: 0.2 };
  const late = view(three, [[], [4.5], [], []], { nuisance: drifting });
  const readings = late.problem.readings.map((row) => row.map((one) => ({ ...one, order: 0.5 })));
  const [first] = evidenceFor(pool, { ...late, problem: { ...late.problem, readings } }, 1);
  expect(first!.expectedIfSound).toBeCloseTo((5.1 / 5) * behind(2, 0.4), 12);
  // 4.93 V if sound, 4.49 if as found: with noise of 1 V a value of 4.6 V tells next to nothing.
  const mid = (noiseScale: number) =>
    evidenceFor(
      pool,
      view(three, [[], [4.6], [], []], { nuisance: { ...nuisance, noiseScale } }),
      1,
    );
  expect(mid(1)).toHaveLength(1);
  expect(mid(50)).toEqual([]);
});

test("where something conducts readings are no sum of contacts", () => {
  expect(evidenceFor(pool, view(three, [[4.94], [4.5], [], []], { conducts: true }), 1)).toEqual(
    [],
  );
});
