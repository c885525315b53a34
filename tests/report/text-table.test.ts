import { expect, test } from "vitest";
import { byHeads, tableText } from "../../src/report/text-table.ts";
import { COLUMNS, columnsOf } from "../../src/report/wrap-text.ts";

const heads = ["lane", "device", "timer", "deckside\nwallplate"];
const align = ["right", "left", "left", "left"] as const;

test("what fits stands in columns", () => {
  const rows = [["3", "touchpad", "5.00", "4.61 weak"]];
  expect(tableText(heads, rows, align, byHeads(heads, 2))).toEqual([
    "                         deckside",
    "  lane  device    timer  wallplate",
    "  ----  --------  -----  ---------",
    "     3  touchpad  5.00   4.61 weak",
  ]);
});

test("names too long for columns: each row by itself, what was not read left out", () => {
  const device = "wall-mounted-touchpad-of-the-outer-competition-lane-at-the-far-end";
  const rows = [
    ["3", device, "5.00", "4.61 weak"],
    ["4", device, "·", "4.98"],
  ];
  const lines = tableText(heads, rows, align, byHeads(heads, 2));
  expect(lines.map((line) => line.trim()).join(" ")).toBe(
    `3 ${device}: timer 5.00, deckside wallplate 4.61 weak 4 ${device}: deckside wallplate 4.98`,
  );
  for (const line of lines) expect(columnsOf(line), line).toBeLessThanOrEqual(COLUMNS);
});
