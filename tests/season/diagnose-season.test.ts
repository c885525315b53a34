import { expect, test } from "vitest";
import { diagnose } from "../../src/diagnosis/diagnose.ts";
import type { Moment, Reading } from "../../src/domain/reading.ts";
import { diagnoseSeason } from "../../src/season/diagnose-season.ts";
import { pool, readings } from "../report/fixture.ts";

const lane3 = readings.filter((one) => one.lane === 3);
const on = (walk: string, takenAt: Moment | null): Reading[] =>
  lane3.map((one) => ({ ...one, walk, takenAt }));
const at = (day: string, seconds: number | null): Moment => ({ text: day, day, seconds });

test("walks come in the order of time, undated ones last, each diagnosed by itself alone", () => {
  const mixed = [
    ...on("no date", null),
    ...on("evening", at("2026-05-09", 64_000)),
    ...on("2026-05-02", null),
    ...on("morning", at("2026-05-09", 30_000)),
  ];
  const season = diagnoseSeason(pool, mixed, []);
  expect(season.map((one) => one.diagnosis.walk)).toEqual([
    "2026-05-02",
    "morning",
    "evening",
    "no date",
  ]);
  // Days since 1970-01-01, by Date.UTC.
  const day = (text: string): number => Date.parse(text) / 86_400_000;
  expect(season.map((one) => one.day)).toEqual([
    day("2026-05-02"),
    day("2026-05-09"),
    day("2026-05-09"),
    null,
  ]);
  for (const walk of season) expect(walk.diagnosis).toEqual(diagnose(pool, walk.readings));
});
