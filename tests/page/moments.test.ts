import { expect, test } from "vitest";
import type { Contents } from "../../src/page/contents.ts";
import { contentsOf } from "../../src/page/contents.ts";
import { newFile, newRecord } from "../../src/page/record.ts";
import { readingMoment, workMoment } from "../../src/page/walk-in-hand.ts";

const pool = newFile("pool.yaml", "pool: Kestrel Bay\nlanes: 2\ndevices: [touchpad]\n");

/** A pool's files with these lines of readings and of work. */
function holding(readings: readonly string[], work: readonly string[] = []): Contents {
  const sheet = newFile(
    "readings.csv",
    ["walk,taken_at,lane,device,point,volts", ...readings].join("\n"),
  );
  const log = newFile("work.csv", ["done_at,lane,device,point,action", ...work].join("\n"));
  const contents = contentsOf({ ...newRecord("1", "", pool), sheets: [sheet], work: log });
  expect(contents.faults).toEqual([]);
  expect(contents.rejected).toEqual([]);
  return contents;
}

const at = (text: string): number => Date.parse(text) / 1000;
const now = new Date("2026-05-02T14:03:07.900Z");
const row = (taken: string): string => `2026-05-02,${taken},1,touchpad,pod,4.47`;

test("a work that is noted in the second of the last reading stands after it", () => {
  const moment = workMoment(holding([row("2026-05-02T14:03:07Z")]), now);
  expect(at(moment)).toBe(at("2026-05-02T14:03:08Z"));
});

test("a value that is noted in the second of a work does not stand before it", () => {
  const contents = holding(
    [row("2026-05-02T14:03:07Z")],
    ["2026-05-02T14:03:08Z,1,touchpad,pod,cleaned"],
  );
  expect(at(readingMoment(contents, now))).toBe(at("2026-05-02T14:03:08Z"));
});

test("what stands long before or hours ahead moves nothing", () => {
  const contents = holding(
    [row("2026-05-02T13:00:00Z"), row("2026-05-02T16:00:00Z")],
    ["2026-05-02T18:00:00Z,1,touchpad,pod,cleaned"],
  );
  for (const moment of [workMoment(contents, now), readingMoment(contents, now)])
    expect(at(moment)).toBe(at("2026-05-02T14:03:07Z"));
});
