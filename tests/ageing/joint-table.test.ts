import { expect, test } from "vitest";
import { moveTable } from "../../src/ageing/joint-table.ts";
import { moveKinds } from "../../src/ageing/kind-moves.ts";

const prior = { fouled: 0.1, open: 0.01, intermittent: 0.02 };
const weeks = [{ kind: "weeks", weeks: 4 }] as const;

test("independent contacts stay independent, each by its own matrix", () => {
  const a = Float64Array.of(0.6, 0.3, 0.06, 0.04);
  const b = Float64Array.of(0.1, 0.2, 0.3, 0.4);
  const [moveA, moveB] = [
    moveKinds(prior, a, 0.3, weeks, 0.7),
    moveKinds(prior, b, 0.8, weeks, 0.7),
  ];
  const table = Float64Array.from({ length: 16 }, (_, i) => a[i >> 2]! * b[i & 3]!);
  const moved = moveTable(table, [moveA.states, moveB.states]);
  const alone = (of: Float64Array, move: Float64Array, to: number) =>
    of.reduce((sum, mass, from) => sum + mass * move[4 * from + to]!, 0);
  for (let i = 0; i < 16; i++)
    expect(moved[i]).toBeCloseTo(
      alone(a, moveA.states, i >> 2) * alone(b, moveB.states, i & 3),
      12,
    );
});

test("two contacts of which just one is fouled are still so after no time", () => {
  const table = new Float64Array(16);
  table[1] = 0.5;
  table[4] = 0.5;
  const { states } = moveKinds(prior, Float64Array.of(0.5, 0.5, 0, 0), 0.3, [], 0.7);
  expect(Array.from(moveTable(table, [states, states]))).toEqual(Array.from(table));
  expect(() => moveTable(table, [states])).toThrow("1 contacts");
});
