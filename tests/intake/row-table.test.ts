import { expect, test } from "vitest";
import { RowTable } from "../../src/intake/row-table.ts";

test("each pair of hashes stands once, under the first number that it was given", () => {
  const table = new RowTable();
  expect(table.findOrAdd(1, 2, 7)).toBe(0);
  expect(table.findOrAdd(1, 2, 8)).toBe(7);
  expect(table.findOrAdd(1, 3, 9)).toBe(0);
  expect(table.findOrAdd(2, 2, 10)).toBe(0);
  expect([table.findOrAdd(1, 2, 1), table.findOrAdd(1, 3, 1), table.findOrAdd(2, 2, 1)]).toEqual([
    7, 9, 10,
  ]);
});

// All in one of the sixty-four tables, most of them meaning the same slot, through several growths.
test("pairs that collide are told apart, also when the table has grown", () => {
  const table = new RowTable();
  const pairs = Array.from({ length: 500 }, (_, k) => [(k % 5) << 20, k] as const);
  for (const [k, [one, two]] of pairs.entries()) expect(table.findOrAdd(one, two, k + 1)).toBe(0);
  for (const [k, [one, two]] of pairs.entries())
    expect(table.findOrAdd(one, two, 9999)).toBe(k + 1);
});
