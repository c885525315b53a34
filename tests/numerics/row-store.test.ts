import { expect, test } from "vitest";
import { RowStore } from "../../src/numerics/row-store.ts";

test("rows are zeros, of the length asked for, and none writes into another", () => {
  const store = new RowStore(40);
  const lengths = [3, 20, 9, 0, 30, 8, 100, 12];
  const rows = lengths.map((length) => store.row(length));
  for (const [k, row] of rows.entries()) {
    expect(row).toEqual(new Float64Array(lengths[k]!));
    row.fill(k + 1);
  }
  for (const [k, row] of rows.entries()) expect(row.every((x) => x === k + 1)).toBe(true);
});

test("rows that fit lie in one buffer", () => {
  const store = new RowStore(32);
  const [a, b] = [store.row(16), store.row(16)];
  expect(a.buffer).toBe(b.buffer);
  expect(store.row(16).buffer).not.toBe(a.buffer);
});
