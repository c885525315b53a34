import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { readPads } from "../../src/intake/read-pads.ts";
import { readParts } from "../../src/intake/read-parts.ts";
import { readTouches } from "../../src/intake/read-touches.ts";
import { kestrelBay } from "../meet/pool.ts";

/** What each small sheet of the deck day keeps of its rows. */
const sheets = {
  touches: {
    head: "lane,kind,tried,registered,taken_at,state",
    rows: [
      "3,fingertip,5,4,2026-06-12T08:00:00,",
      "3,fingertip,5,4,2026-06-12T08:00:01,",
      "3,fingertip,5,5,2026-06-12T08:00:00,",
      "4,open-hand,5,0,,",
    ],
    read: (text: string) => {
      const read = readTouches(text, kestrelBay, "touches.csv");
      if (!read.ok) throw new Error(read.error.message);
      return { ...read.value, lines: read.value.touches };
    },
  },
  pads: {
    head: "taken_at,water_c,note,state",
    rows: ["2026-06-12T08:00:00,26,,", "2026-06-12T09:00:00,26,,", "2026-06-12,26,first,"],
    read: (text: string) => {
      const read = readPads(text, kestrelBay, "pads.csv");
      if (!read.ok) throw new Error(read.error.message);
      return { ...read.value, lines: read.value.notes };
    },
  },
  parts: {
    head: "part,where,since,state",
    rows: ["K-1,spare,2026-06-12T08:00:00,", "K-1,gone,2026-06-13,", "K-2,lane 3 pod,,"],
    read: (text: string) => {
      const read = readParts(text, "parts.csv");
      if (!read.ok) throw new Error(read.error.message);
      return { ...read.value, lines: read.value.parts };
    },
  },
} as const;

const struck = (row: string): string => `${row}struck`;

describe.each(Object.entries(sheets))("%s.csv", (_, { head, rows, read }) => {
  const textOf = (lines: readonly string[]): string => [head, ...lines, ""].join("\n");
  const line = (row: string): number => rows.indexOf(row as never);

  test("a struck row takes back the same row, and that one alone", () => {
    for (const row of rows) {
      const { lines, rejected, rows: counts, struck: count } = read(textOf([...rows, struck(row)]));
      expect(rejected).toEqual([]);
      expect(lines.map((one) => one.line - 2)).toEqual(
        rows.map(line).filter((at) => at !== line(row)),
      );
      expect(counts).toEqual({
        in: rows.length + 1,
        used: rows.length + 1,
        rejected: 0,
        repeats: 0,
      });
      expect(count).toBe(2);
    }
  });

  test("in any order, any number of times: what counts is what was never struck", () => {
    const some = fc.subarray(rows.map((_, at) => at));
    fc.assert(
      fc.property(
        some,
        fc.integer({ min: 1, max: 3 }),
        fc.infiniteStream(fc.nat()),
        (taken, times, order) => {
          const strikes = taken.flatMap((at) =>
            Array.from({ length: times }, () => struck(rows[at]!)),
          );
          const keyed = [...rows, ...strikes].map((text) => ({
            text,
            at: order.next().value as number,
          }));
          const mixed = keyed.sort((a, b) => a.at - b.at).map(({ text }) => text);
          const { lines, rows: counts } = read(textOf(mixed));
          const standing = lines.map((one) => mixed[one.line - 2]).sort();
          expect(standing).toEqual(rows.filter((_, at) => !taken.includes(at)).toSorted());
          expect(counts.used + counts.rejected + counts.repeats).toBe(counts.in);
        },
      ),
      { numRuns: 60 },
    );
  });

  test("any other state is a reject that says what may stand there", () => {
    const { rejected, lines } = read(textOf([`${rows[0]}gone`, `${rows[0]}STRUCK`, rows[1]]));
    expect(rejected.map(({ reason }) => reason)).toEqual(["state is 'gone': struck, or nothing"]);
    expect(rejected[0]).toMatchObject({ kind: "state", line: 2 });
    expect(lines).toHaveLength(1);
  });

  test("the same row again counts once where it has a time of day, and is said so; without, twice", () => {
    const [timed] = rows;
    const once = read(textOf([timed, rows[1], timed]));
    expect(once.lines.map((one) => one.line)).toEqual([2, 3]);
    expect(once.rows).toEqual({ in: 3, used: 2, rejected: 0, repeats: 1 });
    expect(once.warnings).toEqual([
      { file: expect.stringMatching(/csv$/), place: "", message: expect.stringMatching(/line 4/) },
    ]);
    expect(once.struck).toBe(0);
    const untimed = rows.findLast((row) => !row.includes("T"))!;
    const twice = read(textOf([untimed, untimed]));
    expect(twice.lines).toHaveLength(2);
    expect(twice.rows).toEqual({ in: 2, used: 2, rejected: 0, repeats: 0 });
    expect(twice.warnings).toEqual([]);
  });

  test("a strike of nothing that stands there takes nothing back", () => {
    expect(read(textOf([struck(rows[0])])).lines).toEqual([]);
    expect(read(textOf([struck(rows[0]), rows[1]])).lines).toHaveLength(1);
  });
});
