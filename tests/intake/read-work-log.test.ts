import fc from "fast-check";
import { expect, test } from "vitest";
import { readPool } from "../../src/intake/pool/read-pool.ts";
import { readWorkLog } from "../../src/intake/read-work-log.ts";
import { rejectedCsv } from "../../src/intake/rejected-csv.ts";

const result = readPool("pool: Kestrel Bay\nlanes: 8\ndevices: [touchpad, button-1]", "p");
if (!result.ok) throw new Error("the pool file is wrong");
const pool = result.value;
const read = (text: string) => readWorkLog(text, pool, "work.csv");
const header = "done_at,lane,device,point,action,minutes,cost,by,note\n";
const reasons = (row: string): string =>
  read(header + row)
    .rejected.map((r) => r.reason)
    .join();

test("a row says what was done to which connector", () => {
  const { entries, rejected } = read(
    `${header}2026-05-03T08:00,3,button-1,pod,cleaned,12.5,"€ 4,20",A. B.,green film\n`,
  );
  expect(rejected).toEqual([]);
  expect(entries).toMatchObject([
    {
      lane: 3,
      device: "button-1",
      point: "pod",
      action: "cleaned",
      minutes: 12.5,
      cost: 4.2,
      by: "A. B.",
      note: "green film",
      line: 2,
    },
  ]);
  expect(entries[0]?.doneAt.day).toBe("2026-05-03");
});

test("lane and device are null where the connector is shared above them", () => {
  const { entries } = read(
    `${header}2026-05-03,,,timer,reseated\n2026-05-03,3,touchpad,timer outlet,cleaned\n` +
      "2026-05-03,3,touchpad,plate,replaced\n",
  );
  expect(entries.map(({ lane, device, point }) => [lane, device, point])).toEqual([
    [null, null, "timer"],
    [null, null, "timer"],
    [3, null, "plate"],
  ]);
});

test.each([
  ["2026-05-03,3,,pod,cleaned", "device is blank: pod belongs to one device"],
  ["2026-05-03,,,plate,cleaned", "lane is blank"],
  ["2026-05-03,9,,plate,cleaned", "lane is '9'"],
  ["2026-05-03,3,,plaet,cleaned", "did you mean 'plate'?"],
  ["2026-05-03,3,,plate,cleened", "did you mean 'cleaned'?"],
  ["31.4.2026,3,,plate,cleaned", "not an ISO 8601"],
  ["2026-05-03,3,,plate,constructor", "action is 'constructor': allowed are"],
  ["2026-05-03,3,,plate,cle\u000baned", "action holds the control character U+000B"],
  [",3,,plate,cleaned", "done_at is blank"],
  ["2026-05-03,3,,plate,cleaned,-5", "minutes is '-5'"],
  ['2026-05-03,3,,plate,replaced,,"1,200"', "may be 1200 or 1.200"],
  ["2026-05-03,3,,plate,cleaned,1,2,x,y,z", "'z' left over"],
])("%s is rejected: %s", (row, reason) => {
  expect(reasons(row)).toContain(reason);
});

test("a row that was undone is neither work nor reject", () => {
  const row = (action: string): string => `2026-05-03T08:00,3,,plate,${action},,,,\n`;
  const { entries, rejected } = read(header + row("cleaned") + row("replaced") + row("undone"));
  expect(entries.map(({ action }) => action)).toEqual(["cleaned"]);
  expect(rejected).toEqual([]);
});

test("an undone row that finds nothing to take back is a reject", () => {
  const { entries, rejected } = read(`${header}2026-05-03,3,,plate,undone,,,,\n`);
  expect([entries, rejected.length]).toEqual([[], 1]);
  expect(rejected[0]?.reason).toContain("nothing of this moment and place stands");
});

test("the same work logged twice counts once, and it is said", () => {
  const row = "2026-05-03,3,,plate,cleaned,,,,\n";
  const { entries, rows, warnings } = read(header + row + row);
  expect(entries).toHaveLength(1);
  expect(rows).toEqual({ in: 2, used: 1, rejected: 0, repeats: 1 });
  expect(warnings[0]?.message).toBe("line 3 says the same as line 2: counted once");
});

test("a log without a needed column is one fault that shows what was found", () => {
  const { faults } = read("done_at;lane;pont;action\n");
  expect(faults[0]?.message).toContain(
    "no column point (found 'done_at', 'lane', 'pont', 'action'); did you mean 'pont'?",
  );
  expect(read("").faults).toHaveLength(1);
  expect(read("\0\0").faults).toHaveLength(1);
});

test("rejected rows, mended and read again, are all there", () => {
  const { rejected } = read(`${header}2026-05-03,3,,plaet,cleaned,5,,,"=sum, not"\n`);
  const mended = rejectedCsv(rejected)
    .replace("plaet", "plate")
    .replace(/,"line 2.*\r/, ",\r");
  const { entries, rejected: still } = read(mended);
  expect(still).toEqual([]);
  expect(entries).toMatchObject([{ point: "plate", minutes: 5, note: "=sum, not" }]);
});

test("any rows in: work plus rejects is their number", () => {
  const cell = fc.constantFrom(
    "2026-05-03",
    "3",
    "plate",
    "cleaned",
    "x",
    "pod",
    "touchpad",
    "",
    "9",
  );
  const row = fc
    .uniqueArray(fc.nat(9), { minLength: 1 })
    .chain(() => fc.array(cell, { maxLength: 9 }));
  fc.assert(
    fc.property(fc.array(row, { maxLength: 20 }), (rows) => {
      // The last cell makes every row different, so that none is a duplicate.
      const lines = rows.map((cells, i) => [
        ...cells,
        ...Array(8 - Math.min(8, cells.length)).fill(""),
        i,
      ]);
      const { entries, rejected } = read(header + lines.map((cells) => cells.join(",")).join("\n"));
      expect(entries.length + rejected.length).toBe(rows.length);
    }),
    { numRuns: 100 },
  );
});
