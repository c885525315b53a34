import { describe, expect, test } from "vitest";
import {
  dateQuestion,
  eitherDate,
  needsOrder,
  orderShown,
} from "../../../src/intake/sheet/date-text.ts";

const sure = (text: string): string | null => {
  const found = eitherDate(text);
  return found !== null && found.dmy === found.mdy && !found.shortYear ? found.dmy : null;
};

describe("dates that can only be one day", () => {
  test.each([
    ["2026-5-2", "2026-05-02"],
    ["2026/12/31", "2026-12-31"],
    ["2026.8.24", "2026-08-24"],
    ["21.9.2026", "2026-09-21"],
    ["3.4.2026", "2026-04-03"],
    ["24 Aug 2026", "2026-08-24"],
    ["24. August 2026", "2026-08-24"],
    ["1st of", null],
    ["1st May 2026", "2026-05-01"],
    ["2nd-jun-2026", "2026-06-02"],
    ["3 de abril de 2026", "2026-04-03"],
    ["Aug 24, 2026", "2026-08-24"],
    ["August 24th 2026", "2026-08-24"],
    ["Mo, 24.8.2026", "2026-08-24"],
    ["Monday, 24 Aug 2026", "2026-08-24"],
    ["24 foo 2026", null],
    ["31.2.2026", null],
    ["30 Feb 2026", null],
    ["2026/13/1", null],
    ["2026/1/100", null],
    ["123/1/2026", null],
    ["1/1/026", null],
    ["24.8/2026", null],
    ["24.8.2026x", null],
    ["", null],
  ])("%j is %j", (text, day) => {
    expect(sure(text)).toBe(day);
  });

  // Month names of four languages, by their first letters.
  test.each([
    ["jan ene janvier", 1],
    ["feb février fev", 2],
    ["mar märz maerz", 3],
    ["apr abr avril", 4],
    ["may mai", 5],
    ["jun juin", 6],
    ["jul juillet", 7],
    ["aug agosto août", 8],
    ["sep september", 9],
    ["oct oktober", 10],
    ["nov november", 11],
    ["dec dez dic décembre", 12],
  ])("%s", (names, month) => {
    for (const name of names.split(" "))
      expect(sure(`7 ${name} 2026`), name).toBe(`2026-${String(month).padStart(2, "0")}-07`);
  });
});

describe("times of day behind a date", () => {
  test.each([
    ["21.9.2026 08:01", "2026-09-21T08:01"],
    ["21.9.2026, 8:01:30", "2026-09-21T08:01:30"],
    ["21.9.2026 um 8.01 Uhr", "2026-09-21T08:01"],
    ["21.9.2026 at 8h05", "2026-09-21T08:05"],
    ["8/24/2026 8:01 PM", null],
    ["24.8.2026 8:01 PM", "2026-08-24T20:01"],
    ["24.8.2026 12:01 am", "2026-08-24T00:01"],
    ["24.8.2026 12:01 p.m.", "2026-08-24T12:01"],
    ["24.8.2026 13:01 pm", null],
    ["24.8.2026 0:01 am", null],
    ["24.8.2026 24:01", null],
    ["24.8.2026T10:15+02:00", "2026-08-24T10:15+02:00"],
    ["24.8.2026 10:15:30.25", "2026-08-24T10:15:30"],
    ["24 Aug 2026 10:15", "2026-08-24T10:15"],
    ["24 Aug 2026 noon", null],
    ["24.8.2026 noon", null],
  ])("%j is %j", (text, moment) => {
    expect(sure(text)).toBe(moment);
  });
});

describe("dates that may be two days", () => {
  test("either order, where both are days", () => {
    expect(eitherDate("03/04/2026")).toEqual({
      dmy: "2026-04-03",
      mdy: "2026-03-04",
      shortYear: false,
    });
    expect(eitherDate("24/08/2026")).toEqual({ dmy: "2026-08-24", mdy: null, shortYear: false });
    expect(eitherDate("08-24-2026")).toEqual({ dmy: null, mdy: "2026-08-24", shortYear: false });
    expect(eitherDate("31/31/2026")).toBeNull();
    expect(eitherDate("3/4/26")).toEqual({ dmy: "2026-04-03", mdy: "2026-03-04", shortYear: true });
    expect(eitherDate("3.4.26")).toEqual({ dmy: "2026-04-03", mdy: null, shortYear: true });
    expect(eitherDate(`${" ".repeat(70)}3/4/2026`)).toBeNull();
  });

  test("an order is shown by a day that only one of them has", () => {
    const shown = (text: string) => orderShown(eitherDate(text)!);
    expect([shown("24/08/2026"), shown("08/24/2026")]).toEqual(["dmy", "mdy"]);
    expect([shown("03/04/2026"), shown("4/4/2026"), shown("24/08/26")]).toEqual([null, null, null]);
  });

  test("an order is needed where the two differ, or the year is short", () => {
    const needs = (text: string) => needsOrder(eitherDate(text)!);
    expect([needs("03/04/2026"), needs("3/4/26")]).toEqual([true, true]);
    expect([needs("4/4/2026"), needs("24/08/2026"), needs("3.4.2026")]).toEqual([
      false,
      false,
      false,
    ]);
  });

  test("what is asked", () => {
    expect(dateQuestion("03/04/2026")).toContain("03/04/2026: is the day first or the month?");
  });
});
