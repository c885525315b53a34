import { expect, test } from "vitest";
import { chart } from "../../../src/report/charts/theme.ts";

const linesOf = (finding: string): readonly string[] => {
  const { spec } = chart("any", { finding, subtitle: "any", alt: "any" }, {}, 23);
  return (spec as unknown as { title: { text: readonly string[] } }).title.text;
};

// Unicode Standard Annex 9: a stretch of right-to-left letters goes on through blanks, and ends at a
// left-to-right mark. A title's lines are one text to whoever draws it.
test("names written from right to left stay on their own line of a title", () => {
  const [first, second] = linesOf("Suspect on the lane ممر زر pod");
  expect(first).toBe("\u200eSuspect on the lane ممر\u200e");
  expect(second).toBe("\u200eزر pod\u200e");
});

test("a title without such letters holds no mark", () => {
  expect(linesOf("Suspect on the lane 4 touchpad pod").join("")).not.toContain("\u200e");
});
