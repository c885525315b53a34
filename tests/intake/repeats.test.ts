import { describe, expect, test } from "vitest";
import { RepeatedRows } from "../../src/intake/repeated-rows.ts";
import { Repeats } from "../../src/intake/repeats.ts";
import type { RowOutcome } from "../../src/intake/row-outcome.ts";

/** A reading and a reject, as far as repeats look at them. */
const reading = { volts: 4.9 } as unknown as RowOutcome[number];
const reject = { reason: "x" } as unknown as RowOutcome[number];
const place = (file: string, number: number) => ({ file, number, line: number + 1 });

/** Rows of one file that repeat rows of another, one after the other; what came out on the way, and at the end. */
function repeat(
  numbers: readonly (readonly [here: number, first: number])[],
  given: { file?: string; rows?: number | null; outcome?: RowOutcome } = {},
) {
  const { file = "b.csv", rows = null, outcome = [reading] } = given;
  const repeats = new Repeats();
  const out = { counted: 0, repeats: 0 };
  const take = (one: { counted: RowOutcome; repeats: readonly unknown[] }) => {
    out.counted += one.counted.length;
    out.repeats += one.repeats.length;
  };
  for (const [here, first] of numbers)
    take(
      repeats.add({
        here: place("b.csv", here),
        first: place(file === "b.csv" ? "b.csv" : "a.csv", first),
        outcome,
      }),
    );
  const before = { ...out };
  take(repeats.release(rows));
  return { before, after: out, warnings: repeats.warnings("b.csv") };
}
const run = (length: number, here = 100, first = 10) =>
  Array.from({ length }, (_, k) => [here + k, first + k] as const);

describe("rows that repeat others, without a time of day", () => {
  test("one is a second reading, and a word is said", () => {
    const { after, warnings } = repeat([[100, 10]]);
    expect(after).toEqual({ counted: 1, repeats: 0 });
    expect(warnings).toEqual([
      {
        file: "b.csv",
        place: "line 101",
        message:
          "the same as line 11 in every column, with no time of day: " +
          "counted as a second reading of that point; if it was entered twice, delete one",
      },
    ]);
  });

  test("several are told by the first, and of another file by its name", () => {
    const [warning] = repeat(run(3), { file: "a.csv" }).warnings;
    expect(warning!.message).toContain(
      "line 11 of a.csv in every column, with no time of day (and 2 more like it)",
    );
    expect(repeat([]).warnings).toEqual([]);
  });

  test("seven in a row are second readings, eight right behind the same eight were pasted", () => {
    expect(repeat(run(7, 17, 10)).after).toEqual({ counted: 7, repeats: 0 });
    expect(repeat(run(8, 18, 10)).after).toEqual({ counted: 0, repeats: 8 });
    expect(repeat(run(8, 18, 10)).warnings).toEqual([]);
    // Three rows behind: somebody's second round.
    expect(repeat(run(8, 21, 10)).after).toEqual({ counted: 8, repeats: 0 });
    // Once more behind the first copy.
    expect(repeat(run(8, 26, 10)).after).toEqual({ counted: 0, repeats: 8 });
  });

  test("eight in the order of another file were pasted, and are let out at once", () => {
    const { before, after } = repeat(run(10), { file: "a.csv" });
    expect(before).toEqual({ counted: 0, repeats: 10 });
    expect(after).toEqual({ counted: 0, repeats: 10 });
    expect(repeat(run(7), { file: "a.csv" }).before).toEqual({ counted: 0, repeats: 0 });
  });

  test("a block ends where either file goes on otherwise", () => {
    const gapHere = [...run(4, 100, 10), ...run(4, 105, 14)];
    expect(repeat(gapHere, { file: "a.csv" }).after).toEqual({ counted: 8, repeats: 0 });
    const gapThere = [...run(4, 100, 10), ...run(4, 104, 15)];
    expect(repeat(gapThere, { file: "a.csv" }).after).toEqual({ counted: 8, repeats: 0 });
    expect(repeat(gapHere, { file: "a.csv" }).before).toEqual({ counted: 4, repeats: 0 });
  });

  test("a whole sheet, however short, that stands in another file is a copy", () => {
    expect(repeat(run(3), { file: "a.csv", rows: 3 }).after).toEqual({ counted: 0, repeats: 3 });
    expect(repeat(run(3), { file: "a.csv", rows: 4 }).after).toEqual({ counted: 3, repeats: 0 });
    expect(repeat(run(3), { rows: 3 }).after).toEqual({ counted: 3, repeats: 0 });
  });

  test("of a pasted row of several readings each is a repeat, and what was no reading stays a reject", () => {
    const outcome = [reading, reject, reading];
    expect(repeat(run(8, 18, 10), { outcome }).after).toEqual({ counted: 8, repeats: 16 });
    expect(repeat(run(1), { file: "a.csv", rows: 3, outcome }).after).toEqual({
      counted: 1,
      repeats: 2,
    });
  });
});

describe("readings that are known already", () => {
  const known = (...rows: readonly (readonly [here: number, file: string, first: number])[]) => {
    const all = new RepeatedRows("b.csv");
    for (const [here, file, first] of rows) all.add(place("b.csv", here), place(file, first));
    return all;
  };
  const said = (all: RepeatedRows, rows: number) =>
    all.warnings(rows).map(({ place: where, message }) => `${where}: ${message}`);

  test("none says nothing", () => {
    expect(known().repeats).toBe(0);
    expect(said(known(), 0)).toEqual([]);
  });

  test("one by its line, several by the first and the last", () => {
    expect(said(known([5, "b.csv", 2]), 9)).toEqual([
      "line 6: the same reading as line 3: counted once",
    ]);
    const several = known([5, "a.csv", 2], [7, "a.csv", 3], [9, "a.csv", 4]);
    expect(several.repeats).toBe(3);
    expect(said(several, 9)).toEqual([
      "line 6: the same reading as line 3 of a.csv (and 2 more like it, up to line 10): counted once",
    ]);
  });

  test("a sheet all of whose readings stand elsewhere is a copy", () => {
    expect(said(known([1, "a.csv", 1], [2, "c.csv", 1]), 2)).toEqual([
      ": is a copy: each of its 2 readings stands in a.csv, c.csv already; nothing is counted twice",
    ]);
    expect(said(known([1, "a.csv", 1]), 1)).toEqual([
      ": is a copy: its reading stands in a.csv already; nothing is counted twice",
    ]);
    // Its own lines alone make no copy of another.
    expect(said(known([1, "b.csv", 0]), 1)[0]).toContain("counted once");
  });
});
