import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, expect, test } from "vitest";
import { loadReadings } from "../../../src/cli/files.ts";
import { readPool } from "../../../src/intake/pool/read-pool.ts";

/**
 * Files that other programs wrote: openpyxl 3.0.9 and SheetJS 0.18.5. Days are date cells, lanes numbers
 * in merged cells, some volts text with a comma.
 */
const saved = (name: string): string => join(import.meta.dirname, "saved", name);
const read = readPool("pool: Kestrel Bay\nlanes: 4\ndevices: [touchpad, button-1]\n", "p");
if (!read.ok) throw new Error("the pool file is wrong");
const pool = read.value;
const folder = mkdtempSync(join(tmpdir(), "dropwise-saved-"));
afterAll(() => rmSync(folder, { recursive: true }));

const shown = async (name: string) => {
  const { readings, rejected } = await loadReadings([saved(name)], pool);
  return {
    rows: readings.map(({ lane, point, volts, takenAt }) =>
      [lane, point, volts, takenAt?.text].join(" "),
    ),
    rejected: rejected.map(({ line, kind }) => `${line} ${kind}`),
  };
};

const merged = (zone: string) => [
  `1 harness 4.98 2026-05-02T08:01:00${zone}`,
  `1 plate 4.97 2026-05-02T08:02:00${zone}`,
  `1 pod 4.96 2026-05-02T08:03:30${zone}`,
  "2 harness 4.98 2026-05-02",
  "2 plate 4.21 2026-05-02",
  "2 pod 4.21 2026-05-02",
];

test("merged lanes, days in five formats, volts as text; a formula without its value is blank", async () => {
  const { rows, rejected } = await shown("merged-by-openpyxl.xlsx");
  expect(rows).toEqual(merged("").map((row) => row.replace("08:02:00", "08:02:20")));
  expect(rejected).toEqual(["10 blank"]);
});

test("another program's two formats say the same", async () => {
  expect((await shown("merged-by-sheetjs.xlsx")).rows).toEqual(merged(""));
  // It writes moments in UTC, and says so.
  expect((await shown("merged-by-sheetjs.ods")).rows).toEqual(merged("Z"));
});

test("a day and a time of day in two columns are one moment, midnight included", async () => {
  const { rows, rejected } = await shown("day-and-time-by-openpyxl.xlsx");
  expect(rejected).toEqual([]);
  expect(rows.map((row) => row.split(" ")[3])).toEqual([
    "2026-05-02T00:00:00",
    "2026-05-02T09:05:00",
    "2026-05-02T23:59:59",
  ]);
});

test("one day merged over all rows is every row's", async () => {
  const { rows } = await shown("merged-day-by-openpyxl.xlsx");
  expect(rows).toHaveLength(9);
  expect(rows.every((row) => row.endsWith(" 2026-05-02"))).toBe(true);
});

test("days counted from 1904 are the same days", async () => {
  expect((await shown("days-from-1904-by-openpyxl.xlsx")).rows).toEqual([
    "1 pod 4.95 2026-05-02T09:01:00",
    "2 pod 4.95 2026-05-02T09:02:00",
    "3 pod 4.95 2026-05-02T09:03:00",
  ]);
});

test.each([
  ["walk.fods", '<?xml version="1.0"?><office:document/>'],
  ["walk.xls", "<html><table><tr><td>lane</td></tr></table></html>"],
  ["walk.csv", "\ufeff<!DOCTYPE html>\n<p>Log in</p>"],
])("%s that is markup is told so in one sentence", async (name, text) => {
  const path = join(folder, name);
  writeFileSync(path, text);
  await expect(loadReadings([path], pool)).rejects.toThrow("is XML or HTML and no sheet");
});
