import { describe, expect, test } from "vitest";
import { parseYaml } from "../../src/intake/parse-yaml.ts";

const kind = { name: "pool file", least: "at least pool" };
const read = (text: string) => parseYaml(text, "p.yaml", kind);
const fault = (text: string): { place: string; message: string } => {
  const found = read(text);
  if (found.ok) throw new Error(JSON.stringify(found.value));
  expect(found.error).toHaveLength(1);
  expect(found.error[0]!.file).toBe("p.yaml");
  return found.error[0]!;
};

// YAML 1.2.2, chapters 2 and 10.3; JSON is a subset.
test.each([
  ["a: 1", { a: 1 }],
  ["\uFEFFa: 1", { a: 1 }],
  ['a: "x\uFEFFy"', { a: "x\uFEFFy" }],
  ['{"a": [1, "b", null, true]}', { a: [1, "b", null, true] }],
  ["a: &x [1, 2]\nb: *x", { a: [1, 2], b: [1, 2] }],
  ["? a\n: 1", { a: 1 }],
  ["&k a: 1\nb: *k", { a: 1, b: "a" }],
  ["~: 1", { "": 1 }],
  ["3: 1", { 3: 1 }],
])("%j", (text, value) => {
  expect(read(text)).toEqual({ ok: true, value });
});

describe("what can't be used is one sentence, with its place", () => {
  test.each([
    ["", "", "is empty; a pool file has at least pool"],
    [" \n\t\n", "", "is empty; a pool file has at least pool"],
    ["\uFEFF", "", "is empty; a pool file has at least pool"],
    ["a: \0", "", "is not text, so it can't be a pool file"],
    ["a: 1\n[b]: 2", "line 2, column 1", "has a list, a mapping or bytes where a key stands"],
    ["a:\n  {b: 1}: 2", "line 2, column 3", "has a list, a mapping or bytes where a key stands"],
    ["a: &x [1]\n*x : 2", "line 2, column 1", "has a list, a mapping or bytes where a key stands"],
    ["a: 1\na: 2", "line 2, column 1", "is not YAML: Map keys must be unique"],
    ["a: *none", "", "is not usable YAML: "],
  ])("%j", (text, place, message) => {
    const found = fault(text);
    expect([found.place, found.message.slice(0, message.length)]).toEqual([place, message]);
  });

  test("what the parser says is on one line, without its picture of the place", () => {
    const { message } = fault("a: [1,\n  2\nb: 3");
    expect(message).toMatch(/^is not YAML: \w/);
    expect(message).not.toMatch(/\n|\s\s|\^/);
  });

  test("a file of over five million letters is no pool file, one of five million may be", () => {
    const long = `a: 1 # ${"x".repeat(5_000_000 - 7)}`;
    expect(read(long).ok).toBe(true);
    expect(fault(`${long}x`)).toMatchObject({
      ...{ place: "", message: "is over 5 MB, which no pool file is" },
    });
  });

  test("a bomb of aliases is told, fifty uses of one are not", () => {
    const uses = (count: number): string => `a: &x [1]\nb: [${Array(count).fill("*x").join(", ")}]`;
    expect(read(uses(40)).ok).toBe(true);
    const bomb = ["a: &a [1, 1, 1, 1, 1, 1, 1, 1]"];
    for (const [one, next] of ["ab", "bc", "cd", "de"].map((pair) => [...pair]))
      bomb.push(`${next}: &${next} [${Array(8).fill(`*${one}`).join(", ")}]`);
    expect(fault(bomb.join("\n")).message).toMatch(/^is not usable YAML: .*alias/i);
  });

  // Deeper ones took the process along where the parser ran out of stack a second time.
  test.each([
    ["[".repeat(100) + "]".repeat(100), true],
    ["[".repeat(101) + "]".repeat(101), false],
    ["{a: ".repeat(101) + "}".repeat(101), false],
    [`a: [${"[], ".repeat(200)}]`, true],
    [`a: [${"{}, ".repeat(200)}]`, true],
    [`a: "${"]".repeat(200)}"\nb: ${"[".repeat(100)}${"]".repeat(100)}`, true],
    [`${"- ".repeat(99)}a`, true],
    [`${"- ".repeat(100)}a`, false],
    [`b: 1\n  ${"-  ".repeat(100)}a`, false],
    [`a: 1 ${"- ".repeat(200)}`, true],
    [`${"? ".repeat(3000)}`, false],
    [`a:\n${" ".repeat(399)}b`, true],
    [`a:\n${" ".repeat(400)}b`, false],
    [`a: 1\n${" ".repeat(500)}\n`, true],
  ])("nesting, %#", (text: string, isRead: boolean) => {
    const found = read(text);
    expect(found.ok).toBe(isRead);
    if (!found.ok) expect(found.error[0]!.message).toBe("is nested too deep");
  });
});
