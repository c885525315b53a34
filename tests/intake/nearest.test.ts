import { expect, test } from "vitest";
import { didYouMean, nearest } from "../../src/intake/nearest.ts";

const points = ["timer", "harness", "plate", "pod"];

// One slip each, by hand: a letter too much, too few, another, two swapped; then case.
test.each([
  ["harnesss", "harness"],
  ["harnes", "harness"],
  ["harnass", "harness"],
  ["hraness", "harness"],
  ["PLATE", "plate"],
  ["platte", "plate"],
  ["tmier", "timer"],
  ["pdo", "pod"],
])("%s means %s", (typed, meant) => {
  expect(nearest(typed, points)).toBe(meant);
  expect(didYouMean(typed, points)).toBe(`; did you mean '${meant}'?`);
});

// At most one slip in three letters of the longer word, begun thirds counted, one letter right at least.
test.each([
  ["pl", "plate", false],
  ["pla", "plate", true],
  ["x", "y", false],
  ["xy", "xz", true],
  ["abcdefg", "abcdxyz", true],
  ["abcdefg", "abcwxyz", false],
])("%s for %s: %s", (typed, name, isNear) => {
  expect(nearest(typed, [name])).toBe(isNear ? name : null);
});

test("the fewest slips win, of equals the first; nothing is near nothing", () => {
  expect(nearest("button-2", ["button-1", "button-2"])).toBe("button-2");
  expect(nearest("button-3", ["button-1", "button-2"])).toBe("button-1");
  expect(nearest("", points)).toBeNull();
  expect(nearest("pod", [])).toBeNull();
  expect(didYouMean("zzzzzz", points)).toBe("");
});

// A swap of neighbours is one slip and not two, but only where the letters are really swapped.
test("a swap counts once, two changes twice", () => {
  expect(nearest("abdc", ["abcd"])).toBe("abcd");
  expect(nearest("ba", ["ab"])).toBe("ab");
  expect(nearest("bxa", ["abc"])).toBeNull();
});

test("nobody's slip is over sixty letters long", () => {
  expect(nearest("a".repeat(60), ["a".repeat(59)])).toBe("a".repeat(59));
  expect(nearest("a".repeat(61), ["a".repeat(60)])).toBeNull();
});
