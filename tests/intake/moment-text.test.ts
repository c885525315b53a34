import fc from "fast-check";
import { expect, test } from "vitest";
import { readMoment } from "../../src/intake/moment-text.ts";

test("any moment of a century has the seconds that the platform's own calendar gives it", () => {
  // Independent of this project: ECMAScript's Date.
  const dates = fc.date({
    min: new Date("1970-01-01T00:00:00Z"),
    max: new Date("2070-01-01T00:00:00Z"),
    noInvalidDate: true,
  });
  fc.assert(
    fc.property(dates, fc.constantFrom("Z", "+02:00", "-0330", "+05"), (date, zone) => {
      const local = date.toISOString().slice(0, 19);
      const hours = zone === "+05" ? "+05:00" : zone === "-0330" ? "-03:30" : zone;
      expect(readMoment(local + zone)?.seconds).toBe(Date.parse(local + hours) / 1000);
      expect(readMoment(local + zone)?.day).toBe(local.slice(0, 10));
    }),
  );
});

test.each([
  ["2026-05-02", null],
  ["20260502", null],
  ["2026-05-02T10", 36_000],
  ["2026-05-02 10:15", 36_900],
  ["2026-05-02t10:15:30.25", 36_930.25],
  ["20260502T101530Z", 36_930],
])("%s is understood", (text, secondsOfDay) => {
  const moment = readMoment(text);
  const day = Date.UTC(2026, 4, 2) / 1000;
  expect(moment?.day).toBe("2026-05-02");
  expect(moment?.seconds).toBe(secondsOfDay === null ? null : day + secondsOfDay);
});

test.each(["2026-02-29", "2026-13-01", "2026-5-2", "2026-05-02T24:30", "2026-05-02T10:15+99", "x"])(
  "%s is no moment",
  (text) => {
    expect(readMoment(text)).toBeNull();
  },
);
