import fc from "fast-check";
import { expect, test } from "vitest";
import { contentsOf } from "../../src/page/contents.ts";
import { addLine, freshLine, type LogLine, mergeLog, sameLine } from "../../src/page/deck-logs.ts";
import { logEntries } from "../../src/page/log-entries.ts";
import { fileText, type KeptFile, newFile, newRecord } from "../../src/page/record.ts";

const pool = newFile(
  "pool.yaml",
  "pool: Kestrel Bay\nmodel: plain\nlanes: 3\ndevices: [touchpad]\n",
);
const entriesOf = (touches: KeptFile | null) =>
  logEntries("touches", contentsOf({ ...newRecord("a", "a", pool), touches }));
const row = (lane: number, registered: number, minute: number): LogLine => ({
  ...{ lane: String(lane), device: "touchpad", end: "", kind: "fingertip", tried: "5" },
  ...{ registered: String(registered), place: "", heat: "", by: "" },
  taken_at: `2026-06-12T08:${String(minute).padStart(2, "0")}:59+02:00`,
});
const struck = (line: LogLine): LogLine => ({ ...line, state: "struck" });
const write = (file: KeptFile | null, ...lines: readonly LogLine[]): KeptFile | null =>
  lines.reduce<KeptFile | null>((log, line) => addLine("touches", log, line), file);

test("an entry holds its row as it was written, so that a strike of it finds it", () => {
  const log = write(null, row(1, 4, 0), row(2, 5, 1))!;
  const [second, first] = entriesOf(log);
  expect(first!.words).toMatch(/^Lane 1 touchpad: 4 of 5 registered/);
  expect(sameLine(first!.line, row(1, 4, 0))).toBe(true);
  expect(entriesOf(write(log, struck(first!.line)))).toEqual([second]);
});

test("a log of a person's own columns gets the one for strikes, and loses nothing", () => {
  const own = newFile(
    "touches.csv",
    "Lane;Kind;Tried;Registered\n1;fingertip;5;4\n2;fingertip;5;5\n",
  );
  const [, first] = entriesOf(own);
  const after = addLine("touches", own, struck(first!.line));
  expect(entriesOf(after).map(({ words }) => words)).toEqual([
    expect.stringMatching(/^Lane 2 touchpad: 5 of 5/),
  ]);
  expect(fileText(after)).toContain("struck");
});

test("corrected and corrected back: the row comes again a second later, in its own zone", () => {
  const [four, five] = [row(1, 4, 59), row(1, 5, 59)];
  const once = write(null, four, struck(four), five)!;
  const back = freshLine("touches", once, four)!;
  expect(back).toEqual({ ...four, taken_at: "2026-06-12T09:00:00+02:00" });
  expect(entriesOf(write(once, struck(five), back))).toHaveLength(1);
  expect(entriesOf(write(once, struck(five), four))).toHaveLength(0);
  // Nothing of the kind was struck: it stays as it is. A bare day can't be moved by a second.
  expect(freshLine("touches", once, row(2, 4, 0))).toEqual(row(2, 4, 0));
  const bare = { ...four, taken_at: "2026-06-12" };
  expect(freshLine("touches", write(null, bare, struck(bare)), bare)).toBeNull();
});

test("26 and 26.0 say the same, a blank and a zero do not", () => {
  expect(sameLine({ water_c: "26" }, { water_c: "26.0", note: "" })).toBe(true);
  expect(sameLine({ water_c: "" }, { water_c: "0" })).toBe(false);
});

test("two phones that strike and merge, in any order and any number of times, agree", () => {
  const rows = [row(1, 4, 0), row(2, 5, 1), row(3, 0, 2)];
  const act = fc.tuple(
    fc.constantFrom(0, 1),
    fc.constantFrom("write", "strike", "take"),
    fc.nat(2),
  );
  fc.assert(
    fc.property(fc.array(act, { maxLength: 12 }), (acts) => {
      const phones: (KeptFile | null)[] = [null, null];
      const struckRows = new Set<number>();
      const written = new Set<number>();
      for (const [phone, what, at] of acts) {
        const other = phones[1 - phone];
        if (what === "take" && other != null)
          phones[phone] = mergeLog("touches", phones[phone]!, other);
        if (what === "write") phones[phone] = write(phones[phone]!, rows[at]!);
        if (what === "strike") phones[phone] = write(phones[phone]!, struck(rows[at]!));
        if (what === "write") written.add(at);
        if (what === "strike") struckRows.add(at);
      }
      for (const phone of [0, 1, 0]) {
        const other = phones[1 - phone];
        if (other != null) phones[phone] = mergeLog("touches", phones[phone]!, other);
      }
      const standing = [...written].filter((at) => !struckRows.has(at)).map((at) => String(at + 1));
      for (const phone of phones)
        expect(
          entriesOf(phone!)
            .map(({ line }) => line["lane"])
            .sort(),
        ).toEqual(standing.sort());
    }),
    { numRuns: 100 },
  );
});
