import { expect, test } from "vitest";
import type { Reading } from "../../src/domain/reading.ts";
import { volts } from "../../src/domain/units.ts";
import { readMoment } from "../../src/intake/moment-text.ts";
import { readingsCsv } from "../../src/intake/readings-csv.ts";

const reading: Reading = {
  ...{ lane: 3, device: "touchpad", end: null, point: "pod", line: 2, meter: "deck" },
  ...{ volts: volts(4.9), step: volts(0.01), walk: "monday", takenAt: null, meterOn: false },
  ...{ state: "rest", id: null, by: null, note: null },
};
const head = "walk,lane,device,end,point,volts,taken_at,meter,meter_on,state,id,by,note";
const row = (changed: Partial<Reading>): string => {
  const [first, second, ...more] = readingsCsv([{ ...reading, ...changed }]).split("\r\n");
  expect(first).toBe(head);
  expect(more).toEqual([""]);
  return second!;
};

test("a row a reading, with the digits that it was read with", () => {
  expect(row({})).toBe("monday,3,touchpad,,pod,4.90,,deck,,rest,,,");
  expect(row({ step: volts(0.001) })).toContain(",4.900,");
  expect(row({ lane: null, device: "start" })).toMatch(/^monday,none,start,/);
  const full = {
    ...({ end: "turn", meterOn: true, state: "pressed", id: "a1", by: "KM" } as const),
    note: "was, loose",
  };
  expect(row(full)).toBe('monday,3,touchpad,turn,pod,4.90,,deck,yes,pressed,a1,KM,"was, loose"');
});

test("a walk that its day names is not written, another is", () => {
  const takenAt = readMoment("2026-05-02T08:00:00");
  expect(row({ takenAt, walk: "2026-05-02" })).toMatch(/^,3,.*,2026-05-02T08:00:00,/);
  expect(row({ takenAt, walk: "morning" })).toMatch(/^morning,3,/);
  expect(row({ walk: "2026-05-02" })).toMatch(/^2026-05-02,3,/);
});

test("no readings make a sheet with headings alone", () => {
  expect(readingsCsv([])).toBe(`${head}\r\n`);
});
