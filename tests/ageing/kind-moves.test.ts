import { expect, test } from "vitest";
import { moveBody, moveKinds, STATES } from "../../src/ageing/kind-moves.ts";

const prior = { fouled: 0.12, open: 0.012, intermittent: 0.02 };
const fouledNow = Float64Array.of(0.02, 0.97, 0.005, 0.005);

test("every row of states adds to one, whatever passed", () => {
  const move = moveKinds(
    prior,
    fouledNow,
    0.4,
    [{ kind: "weeks", weeks: 3 }, { kind: "cleaned" }, { kind: "weeks", weeks: 1.5 }],
    0.7,
  );
  for (let from = 0; from < STATES; from++) {
    const row = move.states.subarray(from * STATES, (from + 1) * STATES);
    expect(row.reduce((sum, chance) => sum + chance, 0)).toBeCloseTo(1, 12);
  }
});

test("nothing passed: nothing moved, all kept", () => {
  const move = moveKinds(prior, fouledNow, 0.4, [], 0.7);
  expect(Array.from(move.states)).toEqual([1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1]);
  expect(move.oxide).toBeCloseTo(0.4, 12);
  expect(Array.from(move.kept)).toEqual([1, 1, 1, 1]);
});

test("a cleaning by hand: what is still fouled is likelier oxide", () => {
  // Fouled 1, oxide 0.4, cure 0.7: film left 0.6 * 0.3 = 0.18, oxide 0.4; sound 0.42.
  const move = moveKinds(prior, Float64Array.of(0, 1, 0, 0), 0.4, [{ kind: "cleaned" }], 0.7);
  expect(move.states[STATES]).toBeCloseTo(0.42, 12);
  expect(move.states[STATES + 1]).toBeCloseTo(0.58, 12);
  expect(move.oxide).toBeCloseTo(0.4 / 0.58, 12);
  expect(move.kept[1]).toBeCloseTo(1, 12);
  expect(move.kept[0]).toBe(0);
});

test("a second cleaning that fails leaves hardly anything but oxide", () => {
  const twice = [{ kind: "cleaned" }, { kind: "cleaned" }] as const;
  const { oxide } = moveKinds(prior, Float64Array.of(0, 1, 0, 0), 0.4, twice, 0.7);
  expect(oxide).toBeCloseTo(0.4 / (0.4 + 0.6 * 0.09), 12);
});

test("a new part keeps nothing of the old", () => {
  const move = moveKinds(prior, fouledNow, 0.4, [{ kind: "replaced" }], 0.7);
  expect(Array.from(move.kept)).toEqual([0, 0, 0, 0]);
  expect(move.states[0]).toBeCloseTo(0.984, 12);
});

test("a body is contaminated half a year on with its own chance, and a new one is clean", () => {
  const weeks = [{ kind: "weeks", weeks: 26 }] as const;
  expect(moveBody(0.08, weeks, 0.7)[1]).toBeCloseTo(0.08, 9);
  expect(moveBody(0.08, [{ kind: "cleaned" }], 0.7)[3]).toBeCloseTo(0.3, 9);
  expect(moveBody(0.08, [{ kind: "replaced" }], 0.7)[3]).toBeLessThan(0.02);
});
