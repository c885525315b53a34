import fc from "fast-check";
import { expect, test } from "vitest";
import { COLUMNS, columnsOf, prose, wrapped } from "../../src/report/wrap-text.ts";

const words = (count: number): string => Array(count).fill("word").join(" ");

test("a line that fits stays as it is, an empty one and a long word too", () => {
  for (const line of ["", "  1. short", words(16), "x".repeat(200)])
    expect(wrapped(line)).toEqual([line]);
});

test("an item's later lines stand under its words, those of other lines further in", () => {
  expect(wrapped(words(20))[1]).toMatch(/^ {2}word/);
  expect(wrapped(`  12. ${words(20)}`)[1]).toMatch(/^ {6}word/);
  expect(wrapped(`    ! ${words(20)}`)[1]).toMatch(/^ {6}word/);
  expect(wrapped(`  Lane 3: ${words(20)}`)[1]).toMatch(/^ {6}word/);
  expect(wrapped(`   ${words(20)}`, 3)[1]).toMatch(/^ {3}word/);
});

test("a number stays with its unit", () => {
  for (const unit of ["V", "Ω", "%", "× meter load", "min,"])
    for (let before = 65; before < 85; before++)
      expect(wrapped(`${"x".repeat(before)} 4.80 ${unit}`).join("\n")).toMatch(/4\.80 \S/);
});

test("nothing is lost, and no line of more than one word is over the width", () => {
  const word = fc.string({ minLength: 1, maxLength: 30 }).map((text) => text.replace(/\s/g, "_"));
  fc.assert(
    fc.property(fc.array(word, { minLength: 1, maxLength: 60 }), (all) => {
      const lines = prose([all.join(" ")]);
      expect(lines.map((line) => line.trimStart()).join(" ")).toBe(all.join(" "));
      for (const line of lines)
        if (line.trim().includes(" ") && !/ [VΩ%×]/.test(line))
          expect(columnsOf(line)).toBeLessThanOrEqual(COLUMNS);
    }),
  );
});

// Unicode's annex 11 (East Asian width), as wcwidth of POSIX systems has it, from memory.
test.each([
  ["щит", 3],
  ["墙板", 4],
  ["ボタン", 6],
  ["버튼", 4],
  ["🔔 on", 5],
  ["ﾎﾞ", 2],
  ["e\u0301", 1],
  ["زر", 2],
  ["a\u202eb", 2],
  ["４.９", 5],
])("%s takes the columns that a terminal gives it", (text, columns) => {
  expect(columnsOf(text)).toBe(columns);
});
