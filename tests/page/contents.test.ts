import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { readPool } from "../../src/intake/pool/read-pool.ts";
import { readReadings } from "../../src/intake/read-readings.ts";
import { addReading } from "../../src/page/add-reading.ts";
import { contentsOf } from "../../src/page/contents.ts";
import { fileText, newFile, type PoolRecord } from "../../src/page/record.ts";

/** Reading on from where a sheet was gives what reading all of it again gives. */

const demo = (name: string): string =>
  readFileSync(new URL(`../../datasets/kestrel-bay/${name}`, import.meta.url), "utf8");

const poolFile = demo("pool.yaml");
const read = readPool(poolFile, "pool.yaml");
if (!read.ok) throw new Error("the demo's pool file is no pool file");
const pool = read.value;

const entered = (minute: number) => ({
  walk: "2026-11-26",
  lane: String((minute % 8) + 1),
  device: "touchpad",
  end: "",
  point: ["pod", "plate"][minute % 2] ?? "",
  volts: `4.${60 + minute}`,
  taken_at: `2026-11-26T14:${10 + minute}:07+01:00`,
  meter: pool.meters[0]?.name ?? "",
  meter_on: minute % 3 === 0 ? "yes" : "",
  state: "rest",
  note: minute % 5 === 0 ? 'a "note"; with, marks' : "",
});

const noTime = "lane;point;volts;taken_at;meter_on;note;walk\r\n";
const sheets: Readonly<Record<string, string>> = {
  "a season": demo("readings.csv"),
  "repeats without a time, at the end": `\uFEFF${noTime}1;pod;4,7;;;;w\r\n2;pod;4,8;;;;w\r\n1;pod;4,7;;;;w\r\n2;pod;4,8;;;;w\r\n`,
  "no end of its last line": `${noTime}1;pod;4,7;;;;w`,
  "a quotation mark that never closes": `${noTime}1;pod;4,7;;;"wet;w\r\n2;pod;4,8;;;;w\r\n`,
  "rows that can't be used": `${noTime}99;pod;4,7;;;;w\r\n\r\n2;pod;wet;;;;w\r\n`,
};

test.each(Object.entries(sheets))("%s, and twenty readings after it", (_name, text) => {
  let record: PoolRecord = {
    id: "one",
    name: pool.name,
    pool: newFile("pool.yaml", poolFile),
    sheets: [newFile("sheet.csv", text)],
    work: null,
    undo: [],
    workUndo: [],
    walk: null,
  };
  const whole = () => record.sheets.map((sheet) => readReadings(fileText(sheet), pool, sheet.name));
  const check = (): void => {
    const { readings, rejected, warnings, faults } = contentsOf(record);
    const expected = whole();
    expect({ readings, rejected, warnings, faults }).toEqual({
      readings: expected.flatMap((sheet) => sheet.readings),
      rejected: expected.flatMap((sheet) => sheet.rejected),
      warnings: expected.flatMap((sheet) => sheet.warnings),
      faults: expected.flatMap((sheet) => sheet.faults),
    });
  };
  check();
  for (let minute = 0; minute < 20; minute += 1) {
    record = { ...record, sheets: addReading(record.sheets, entered(minute), pool).sheets };
    check();
    if (minute % 6 === 5) {
      const last = record.sheets.at(-1);
      if (last === undefined) throw new Error("a reading went nowhere");
      const shorter = { ...last, added: last.added.slice(0, -1) };
      record = { ...record, sheets: record.sheets.with(-1, shorter) };
      check();
    }
  }
  expect(whole().flatMap((sheet) => sheet.readings).length).toBeGreaterThan(16);
});
