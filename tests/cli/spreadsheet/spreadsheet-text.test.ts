import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { strToU8, zipSync } from "fflate";
import { afterEach, beforeEach, expect, test } from "vitest";
import { loadReadings } from "../../../src/cli/files.ts";
import { readPool } from "../../../src/intake/pool/read-pool.ts";
import { ods, xlsx } from "./made-sheets.ts";

const read = readPool("pool: Kestrel Bay\nlanes: 8\ndevices: [touchpad]", "p");
if (!read.ok) throw new Error("the pool file is wrong");
const pool = read.value;
let folder = "";
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "dropwise-sheet-"));
});
afterEach(() => rmSync(folder, { recursive: true }));

test.each([
  ["walk.xlsx", xlsx],
  ["walk.ods", ods],
])("%s: titles, merged lanes, numbers and dates come in as from text", async (name, make) => {
  const path = join(folder, name);
  writeFileSync(path, make());
  const { readings, rejected, rows } = await loadReadings([path], pool);
  expect(rejected).toEqual([]);
  expect(rows).toMatchObject({ in: 2, used: 2 });
  const shown = readings.map(({ lane, point, volts, takenAt, line }) => [
    ...[lane, point, volts, takenAt?.text, line],
  ]);
  expect(shown).toEqual([
    [3, "timer", 4.91, "2026-05-02T08:01:00", 4],
    [3, "pod", 4.5, "2026-05-02", 5],
  ]);
});

test.each([
  ["old.xls", Uint8Array.from([0xd0, 0xcf, 0x11, 0xe0, 0xa1, 0xb1, 0x1a, 0xe1]), "old .xls file"],
  ["cut.xlsx", xlsx().subarray(0, 300), "no whole spreadsheet file"],
  ["other.zip", zipSync({ "a.txt": strToU8("x") }), "neither text nor an .xlsx or .ods"],
])("%s is one sentence", async (name, bytes, words) => {
  const path = join(folder, name);
  writeFileSync(path, bytes);
  await expect(loadReadings([path], pool)).rejects.toThrow(words);
});

/** OpenDocument 1.3, part 3, 19.385: office:time-value is an XML Schema duration. */
test("an .ods time of day, in a column beside its day, is read from its value", async () => {
  const cell = (type: string, value: string, shown: string) =>
    `<table:table-cell office:value-type="${type}" office:${value}><text:p>${shown}</text:p></table:table-cell>`;
  const cells = (...all: readonly string[]) => `<table:table-row>${all.join("")}</table:table-row>`;
  const word = (text: string) => cell("string", 'x=""', text).replace(' office:x=""', "");
  const rows =
    cells(...["lane", "point", "volts", "date", "time"].map(word)) +
    cells(
      ...[cell("float", 'value="1"', "1"), word("pod"), word("4,95")],
      cell("date", 'date-value="2026-05-02"', "2. Mai 26"),
      cell("time", 'time-value="PT15H04M09S"', "3:04 PM"),
    );
  const space = (name: string) =>
    `xmlns:${name}="urn:oasis:names:tc:opendocument:xmlns:${name}:1.0"`;
  const content = `<office:document-content ${["office", "table", "text"].map(space).join(" ")}><office:body><office:spreadsheet><table:table table:name="W">${rows}</table:table></office:spreadsheet></office:body></office:document-content>`;
  const path = join(folder, "clock.ods");
  writeFileSync(path, zipSync({ "content.xml": strToU8(content) }));
  const { readings, rejected } = await loadReadings([path], pool);
  expect(rejected).toEqual([]);
  expect(readings[0]?.takenAt?.text).toBe("2026-05-02T15:04:09");
});
