import { expect, test } from "vitest";
import { isIn, touchedLines, touchedSince } from "./touched.ts";

/**
 * Unified format without context, as GNU diffutils 3.10 describes it ("Detailed Description of
 * Unified Format"): `@@ -from,count +from,count @@`, a count of 1 left out, and where a count is 0 the
 * line before.
 */
const diff = `diff --git a/src/circuit/divider.ts b/src/circuit/divider.ts
index 1111111..2222222 100644
--- a/src/circuit/divider.ts
+++ b/src/circuit/divider.ts
@@ -3 +3 @@ export
-one
+two
@@ -10,0 +11,4 @@
+three
+four
+five
+six
@@ -30,2 +34,0 @@
-seven
-eight
diff --git a/src/circuit/new.ts b/src/circuit/new.ts
new file mode 100644
--- /dev/null
+++ b/src/circuit/new.ts
@@ -0,0 +1,2 @@
+nine
+ten
`;

test("lines that a change touches: written, or beside what went", () => {
  expect([...touchedLines(diff)]).toEqual([
    [
      "src/circuit/divider.ts",
      [
        { from: 3, to: 3 },
        { from: 11, to: 14 },
        { from: 34, to: 35 },
      ],
    ],
    ["src/circuit/new.ts", [{ from: 1, to: 2 }]],
  ]);
});

test.each([
  [10, 10, false],
  [10, 11, true],
  [12, 12, true],
  [14, 20, true],
  [15, 20, false],
  [1, 40, true],
])("a mutant of lines %i to %i", (line, lastLine, expected) => {
  const mutant = { id: 1, file: "", line, lastLine, kind: "", replacement: "" };
  expect(isIn([{ from: 11, to: 14 }], mutant)).toBe(expected);
});

test("a state that git does not know is none", () => {
  expect(touchedSince(null)).toBeNull();
  expect(touchedSince("no-such-commit")).toBeNull();
});
