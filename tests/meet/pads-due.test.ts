import { describe, expect, test } from "vitest";
import { meetDefaults } from "../../src/domain/meet.ts";
import type { PadNote } from "../../src/domain/pad.ts";
import { padsDue } from "../../src/meet/pads-due.ts";

const note = (day: string, water: number, more: Partial<PadNote> = {}): PadNote => ({
  takenAt: { text: day, day, seconds: null },
  water,
  unit: "C",
  strokes: null,
  lane: null,
  soakedMinutes: null,
  by: null,
  note: null,
  line: 2,
  ...more,
});
const celsius = { ...meetDefaults.pads, readjustDegrees: 3, soakMinutes: 10 };
const fahrenheit = { ...celsius, unit: "F" as const };

// Common practice: readjust when the water has changed by 3 degrees or more, after a soak of
// 10 minutes; one pad's strokes are the strokes for all.
describe("pads due", () => {
  const adjusted = note("2026-05-02", 24.3, { strokes: 6, lane: 1, soakedMinutes: 12 });

  test("three degrees exactly is due, a tenth less is not", () => {
    expect(padsDue([adjusted, note("2026-06-13", 27.3)], celsius).state).toBe("due");
    expect(padsDue([adjusted, note("2026-06-13", 27.2)], celsius).state).toBe("fine");
    expect(padsDue([adjusted, note("2026-06-13", 21.3)], celsius).change).toBe(-3);
  });

  test("the same water is due in Fahrenheit and not in Celsius", () => {
    const notes = [adjusted, note("2026-06-13", 26)];
    expect(padsDue(notes, celsius).state).toBe("fine"); // 1.7 °C
    const due = padsDue(notes, fahrenheit);
    expect(due.state).toBe("due"); // 3.06 °F
    expect(due.unit).toBe("F");
    expect(due.change).toBeCloseTo(3.06, 6);
  });

  test("an adjustment before the soak was over doesn't count and is named", () => {
    const hasty = note("2026-06-13", 27.5, { strokes: 7, lane: 2, soakedMinutes: 4, line: 9 });
    const due = padsDue([adjusted, hasty], celsius);
    expect(due.state).toBe("due");
    expect(due.strokes).toBe(6);
    expect(due.doubts).toContainEqual({ line: 9, lane: 2, kind: "not soaked", found: 4 });
  });

  test("a second count on the day of the adjustment is pointed out", () => {
    const other = note("2026-05-02", 24.3, { strokes: 8, lane: 5, soakedMinutes: 15, line: 3 });
    const kinds = padsDue([other, { ...adjusted, line: 4 }], celsius).doubts;
    expect(kinds).toEqual([{ line: 3, lane: 5, kind: "strokes differ", found: 8 }]);
  });

  test("nothing adjusted, nothing logged, and a date in the past", () => {
    expect(padsDue([], celsius).state).toBe("no log");
    expect(padsDue([note("2026-06-13", 27)], celsius).state).toBe("never adjusted");
    const until = padsDue([adjusted, note("2026-06-13", 30)], celsius, "2026-06-01");
    expect(until.state).toBe("fine");
  });
});
