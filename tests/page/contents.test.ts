import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { withWalkNames } from "../../src/domain/walk-names.ts";
import { readPool } from "../../src/intake/pool/read-pool.ts";
import { readReadings } from "../../src/intake/read-readings.ts";
import { contentsOf } from "../../src/page/contents.ts";
import { rowOfEntered, strikeOf, withRows } from "../../src/page/ledger.ts";
import { fileText, newFile, newRecord, sheetsOf } from "../../src/page/record.ts";

/** Reading on from where a sheet was gives what reading all of it again gives. */

const demo = (name: string): string =>
  readFileSync(new URL(`../../datasets/kestrel-bay/${name}`, import.meta.url), "utf8");

const poolFile = demo("pool.yaml");
const read = readPool(poolFile, "pool.yaml");
if (!read.ok) throw new Error("the demo's pool file is no pool file");
const pool = read.value;

const entered = (minute: number) => ({
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
  let record = {
    ...newRecord("one", pool.name, newFile("pool.yaml", poolFile)),
    sheets: [newFile("sheet.csv", text)],
  };
  const whole = () =>
    sheetsOf(record).map((sheet) => readReadings(fileText(sheet), pool, sheet.name));
  const check = (): void => {
    const { readings, rejected, warnings, faults } = contentsOf(record);
    const expected = whole();
    expect({ readings, rejected, warnings, faults }).toEqual({
      readings: withWalkNames(
        expected.flatMap((sheet) => sheet.readings),
        pool,
        [],
      ),
      rejected: expected.flatMap((sheet) => sheet.rejected),
      warnings: expected.flatMap((sheet) => sheet.warnings),
      faults: expected.flatMap((sheet) => sheet.faults),
    });
  };
  check();
  for (let minute = 0; minute < 20; minute += 1) {
    const row = rowOfEntered(entered(minute), `id-${minute}`);
    record = { ...record, ledger: withRows(record.ledger, [row], () => "readings.csv") };
    check();
    if (minute % 6 === 5) {
      const rows = [strikeOf(row), rowOfEntered(entered(minute), `again-${minute}`)];
      record = { ...record, ledger: withRows(record.ledger, rows, () => "readings.csv") };
      check();
    }
  }
  expect(whole().flatMap((sheet) => sheet.readings).length).toBeGreaterThan(16);
});
