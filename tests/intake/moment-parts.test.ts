import { describe, expect, test } from "vitest";
import { KeptMoments } from "../../src/intake/kept-moments.ts";
import { momentFault, readMoment } from "../../src/intake/moment-text.ts";

/** Seconds since 1970, by the platform's own calendar. */
const at = (text: string): number => Date.parse(`${text}Z`) / 1000;

describe("many moments of one day", () => {
  test.each([
    "2026-05-02T00:00:00",
    "2026-05-02T10:15:30",
    "2026-05-02T23:59:59",
    "2026-05-02T09:08:07",
    "2026-05-02T19:50:40",
  ])("%s after another of its day", (text) => {
    readMoment("2026-05-02");
    expect(readMoment(text)).toEqual({ text, day: "2026-05-02", seconds: at(text) });
  });

  test.each([
    "2026-05-02T24:00:00",
    "2026-05-02T10:60:00",
    "2026-05-02T10:15:60",
    "2026-05-02T1a:15:30",
    "2026-05-02T10:1/:30",
    "2026-05-02T10:15:3:",
    "2026-05-02X10:15:30",
    "2026-05-02T10-15:30",
    "2026-05-02T10:15-30",
    "2026-05-02T/9:15:30",
    "2026-05-02T1/:15:30",
    "2026-05-02T10:/5:30",
    "2026-05-02T10:15: 5",
  ])("%s is none", (text) => {
    readMoment("2026-05-02");
    expect(readMoment(text)).toBeNull();
  });

  test("another day is another day, whatever was read before", () => {
    readMoment("2026-05-02");
    expect(readMoment("2026-05-03T10:15:30")).toMatchObject({
      day: "2026-05-03",
      seconds: at("2026-05-03T10:15:30"),
    });
    expect(readMoment("2026-05-02T10:15:30")).toMatchObject({ day: "2026-05-02" });
    readMoment("2026-02-30");
    expect(readMoment("2026-02-30T10:15:30")).toBeNull();
  });
});

// ISO 8601: an offset is what local time is ahead of UTC; none is beyond +14 hours (Kiribati).
test.each([
  ["2026-05-02T10:15z", 0],
  ["2026-05-02T10:15+14:00", 14 * 3600],
  ["2026-05-02T10:15-02", -2 * 3600],
  ["2026-05-02T10:15+0059", 59 * 60],
  ["2026-05-02T10:15 -03:30", -3.5 * 3600],
])("%s is so far ahead of UTC", (text, offset) => {
  expect(readMoment(text)?.seconds).toBe(at("2026-05-02T10:15:00") - offset);
});

test.each(["2026-05-02T10:15+15:00", "2026-05-02T10:15+02:60", "2026-05-02T10:15+2"])(
  "%s has an offset that no zone has",
  (text) => {
    expect(readMoment(text)).toBeNull();
  },
);

describe("what is said of a date that can't be read", () => {
  test.each([
    ["2026/5/2", "not ISO 8601; did you mean 2026-05-02?"],
    ["2026.12.31 x", "not ISO 8601; did you mean 2026-12-31?"],
    ["24/08/2026", "not ISO 8601; write it 2026-08-24"],
    ["3.4.2026", "not ISO 8601; write it 2026-04-03 or 2026-03-04"],
    ["4-4-2026", "not ISO 8601; write it 2026-04-04"],
  ])("%s: %s", (text, words) => {
    expect(momentFault(text)).toBe(words);
  });

  test.each(["2026/13/40", "99/99/2026", "yesterday", "24/08/20266"])("%s", (text) => {
    expect(momentFault(text)).toBe(
      "not an ISO 8601 date or time such as 2026-05-02 or 2026-05-02T10:15:00+02:00",
    );
  });
});

describe("moments that are kept", () => {
  test("come back as they were, whole days and odd ways of writing too", () => {
    const kept = new KeptMoments();
    const texts = [
      "2026-05-02T00:00:00",
      "2026-05-02T23:59:59",
      "2026-05-03T10:08:09",
      "2026-05-02",
      "2026-05-02 10:15",
      "20260502T101530Z",
      "2026-05-02T10:15:30.5",
      "2026-05-02T10:15+2:0",
    ];
    const moments = texts.map(readMoment);
    const places = moments.map((one) => kept.add(one));
    expect(places.map((place) => kept.at(place))).toEqual(moments);
    expect(kept.at(0)).toBeNull();
    expect(kept.add(null)).toBe(0);
  });

  // What two numbers say needs no text; what they can't say keeps its own.
  test("one of whole seconds takes the same place again, of the same length another does not", () => {
    const kept = new KeptMoments();
    const first = kept.add(readMoment("2026-05-02T10:15:30"));
    kept.add(readMoment("2026-05-04T10:15:30"));
    expect(kept.add(readMoment("2026-05-02T10:15:30"))).toBe(first);
    for (const text of ["2026-05-02 10:15:30", "2026-05-02t10:15:30", "2026-05-02T10:15+02"]) {
      const moment = readMoment(text);
      expect(kept.at(kept.add(moment)), text).toEqual(moment);
    }
  });

  test("more days than have numbers keep their texts", () => {
    const kept = new KeptMoments();
    const texts = Array.from({ length: 16_400 }, (_, k) =>
      new Date(k * 86_400_000).toISOString().slice(0, 19),
    );
    const places = texts.map((text) => kept.add(readMoment(text)));
    for (const k of [0, 1, 16_382, 16_383, 16_384, 16_399])
      expect(kept.at(places[k]!)?.text).toBe(texts[k]);
  });
});
