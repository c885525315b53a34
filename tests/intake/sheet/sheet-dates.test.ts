import { describe, expect, test } from "vitest";
import type { DateOrder } from "../../../src/intake/sheet/date-text.ts";
import { SheetDates } from "../../../src/intake/sheet/sheet-dates.ts";

const having = (texts: readonly string[], given: DateOrder | null = null): SheetDates => {
  const dates = new SheetDates(given);
  for (const text of texts) dates.learn(text);
  return dates;
};

describe("what a sheet's dates tell of the others", () => {
  test.each([
    [[], "03/04/2026", "2026-04-03", null],
    [["24/08/2026"], "03/04/2026", "2026-04-03", null],
    [["08/24/2026"], "03/04/2026", "2026-03-04", null],
    [["03/04/2026", "08/24/2026"], "03/04/2026", "2026-03-04", null],
    // What a sheet has shown once stands.
    [["24/08/2026", "08/24/2026"], "03/04/2026", "2026-04-03", null],
    // Neither of these says anything about the order, nor asks for it.
    [
      ["", "2026-05-02", "then", "4/4/2026", "3.4.2026", "24 Aug 2026"],
      "5/5/2026",
      "2026-05-05",
      null,
    ],
    [["03/04/2026"], "2026-05-02", "2026-05-02", "03/04/2026"],
    [["4/4/2026", "05/06/2026", "03/04/2026"], "2026-05-02", "2026-05-02", "05/06/2026"],
    [["3/4/26"], "2026-05-02", "2026-05-02", "3/4/26"],
  ])("after %j, %s is %s, and what is asked is %j", (texts, text, day, open) => {
    const dates = having(texts);
    expect(dates.open).toBe(open);
    expect(dates.moment(text)?.day ?? null).toBe(day);
  });

  test("whether each is known at once", () => {
    const dates = new SheetDates(null);
    const texts = ["", "2026-05-02", "then", "4/4/2026", "03/04/2026", "3/4/26", "24/08/2026"];
    expect(texts.map((text) => dates.learn(text))).toEqual([
      ...[true, true, true, true, false, false, true],
    ]);
    expect(dates.learn("03/04/2026")).toBe(true);
    expect(dates.open).toBeNull();
  });
});

test("what the user says holds, whatever the sheet shows", () => {
  const dates = having(["08/24/2026"], "dmy");
  expect(dates.open).toBeNull();
  expect(dates.moment("03/04/2026")?.day).toBe("2026-04-03");
  // A date of the other order is none.
  expect(dates.moment("08/24/2026")).toBeNull();
  expect(having([], "mdy").moment("03/04/2026 10:15")?.text).toBe("2026-03-04T10:15");
  expect(having([], "mdy").moment("24/08/2026")).toBeNull();
  expect(having([], "mdy").moment("3.4.2026")?.day).toBe("2026-04-03");
});

test("moments asked for again, and what is none", () => {
  const dates = having(["24/08/2026"]);
  expect(dates.moment("")).toBeNull();
  expect(dates.moment("2026-05-02T10:15")?.text).toBe("2026-05-02T10:15");
  expect(dates.moment("2026-05-02T10:15")?.text).toBe("2026-05-02T10:15");
  expect(dates.moment("24/08/2026")?.day).toBe("2026-08-24");
  expect(dates.moment("2026-05-02T10:15")?.day).toBe("2026-05-02");
  expect(dates.moment("then")).toBeNull();
  expect(dates.moment("31/31/2026")).toBeNull();
});

test("why a text is no moment: none at all, or none in this sheet's order", () => {
  expect(having(["24/08/2026"]).fault("08/25/2026")).toBe(
    "not a day where the day stands first, as elsewhere in this sheet",
  );
  expect(having(["08/24/2026"]).fault("25/08/2026")).toBe(
    "not a day where the month stands first, as elsewhere in this sheet",
  );
  expect(having([]).fault("then")).toMatch(/^not an ISO 8601 date or time/);
});
