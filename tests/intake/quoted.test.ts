import { expect, test } from "vitest";
import { quoted } from "../../src/intake/quoted.ts";

test("a person's text is quoted on one line, and cut after forty characters", () => {
  expect(quoted("pod")).toBe("'pod'");
  expect(quoted("x".repeat(40))).toBe(`'${"x".repeat(40)}'`);
  expect(quoted("x".repeat(41))).toBe(`'${"x".repeat(40)}…'`);
  expect(quoted("a\nb\u001b[31mc\u202e")).toBe("'a\ufffdb\ufffd[31mc\ufffd'");
});
