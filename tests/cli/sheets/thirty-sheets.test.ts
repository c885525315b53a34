import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, expect, test } from "vitest";
import { registerImport } from "../../../src/cli/import.ts";
import { runCommand, unbroken } from "../run-command.ts";
import { oddSheets } from "./odd-sheets.ts";
import { fileOf, thirtySheets } from "./thirty-sheets.ts";

const folder = mkdtempSync(join(tmpdir(), "dropwise-thirty-"));
const at = (name: string): string => join(folder, name);
const importSheet = (file: string, ...args: string[]) =>
  runCommand([registerImport], ["import", at(file), "--pool", folder, ...args]);

beforeAll(() => {
  writeFileSync(at("pool.yaml"), "pool: Kestrel Bay\nlanes: 4\ndevices: [touchpad, button-1]\n");
  for (const sheet of [...thirtySheets, ...oddSheets])
    writeFileSync(at(fileOf(sheet)), sheet.content);
});
afterAll(() => rmSync(folder, { recursive: true }));

test("there are thirty of them, and ten in odd shapes", () => {
  expect(new Set(thirtySheets.map(({ name }) => name)).size).toBe(30);
  expect(new Set([...thirtySheets, ...oddSheets].map(({ name }) => name)).size).toBe(40);
});

test.each([...thirtySheets, ...oddSheets])("$name: every row is used or said", async (sheet) => {
  const { name, rows, asks } = sheet;
  const { out, err, status } = await importSheet(fileOf(sheet));
  if (asks !== undefined) expect((out + err).replace(/\s+/g, " ")).toContain(asks);
  else expect(err).toBe("");
  if (rows === null) {
    expect(status).toBe(2);
    expect(err.trim().split("\n")).toHaveLength(1);
    return;
  }
  const [all, used] = rows;
  expect(out).toContain(`${all} row${all === 1 ? "" : "s"}, ${used} used`);
  // What was imported says the same once more, and importing again changes nothing.
  const text = readFileSync(at(`readings/${name}.csv`), "utf8");
  expect(text.trim().split(/\r?\n(?=[^"]*(?:"[^"]*"[^"]*)*$)/)).toHaveLength(used + 1);
  expect(unbroken((await importSheet(fileOf(sheet))).out)).toContain("nothing new for");
});

test("no value is proposed where two stand in a cell, or none", async () => {
  const { err } = await importSheet("two-values-in-a-cell.csv", "--force");
  expect(err).not.toContain("did you mean");
});

test("over a tenth not used is said first", async () => {
  const { out } = await importSheet("typing-slips.csv", "--force");
  expect(out).toMatch(/^Careful: 3 of 4 rows not used/);
});

test("days come out as they were meant", async () => {
  await importSheet("day-first-slashes.csv", "--force");
  const text = readFileSync(at("readings/day-first-slashes.csv"), "utf8");
  expect(text).toContain("2026-08-24");
  expect(text).toContain("2026-09-03");
  await importSheet("day-written-once.csv", "--force");
  const once = readFileSync(at("readings/day-written-once.csv"), "utf8");
  expect(once.match(/2026-08-24/g)).toHaveLength(3);
  expect(once.match(/2026-08-25/g)).toHaveLength(1);
  await importSheet("which-is-the-day.csv", "--dates", "mdy");
  expect(readFileSync(at("readings/which-is-the-day.csv"), "utf8")).toContain("2026-03-04");
});
