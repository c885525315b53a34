import { readdirSync } from "node:fs";
import { resolve } from "node:path";
import { describe, expect, test } from "vitest";
import { Kernel } from "./kernel.ts";
import { codeOf, execute, readNotebook, textsOf } from "./notebook.ts";

const names = readdirSync("notebooks").filter((one) => one.endsWith(".ipynb"));

test("the notebooks that the project promises are there", () => {
  expect(names).toEqual([
    "a-league.ipynb",
    "capital-request.ipynb",
    "clean-or-replace.ipynb",
    "how-well-does-it-do.ipynb",
    "the-model-worked.ipynb",
    "weak-lane.ipynb",
  ]);
});

test("the runner sees outputs, displays and failures for what they are", async () => {
  const kernel = await Kernel.start(resolve("notebooks"));
  try {
    const printed = await kernel.run('console.log("one"); 1 + 1');
    const stream = printed.filter((one) => one.output_type === "stream");
    expect(stream.map((one) => one["text"]).join("")).toBe("one\n");
    expect(printed.filter((one) => one.output_type === "execute_result")).toHaveLength(1);
    const thrown = await kernel.run('throw new Error("on purpose")');
    expect(thrown.map((one) => one.output_type)).toEqual(["error"]);
    const rejected = await kernel.run('await Promise.reject(new Error("later"))');
    expect(rejected.map((one) => one.output_type)).toEqual(["error"]);
    const typed = await kernel.run("const still: number = 7; still");
    expect(typed.map((one) => one.output_type)).toEqual(["execute_result"]);
  } finally {
    kernel.close();
  }
});

/** A kernel that waits for its turn on a busy machine is no failure [ms]. */
const patience = 300_000;

describe.each(names)("%s", (name) => {
  const path = resolve("notebooks", name);

  test(
    "runs from a fresh kernel and says what it said when it was committed",
    async () => {
      const committed = readNotebook(path);
      const again = await execute(path);
      const code = committed.cells.filter((cell) => cell.cell_type === "code");
      expect(code.length).toBeGreaterThan(3);
      const anew = again.cells.filter((cell) => cell.cell_type === "code");
      for (const [index, cell] of anew.entries()) {
        const failed = cell.outputs?.filter((one) => one.output_type === "error") ?? [];
        expect(failed, codeOf(cell)).toEqual([]);
        expect(textsOf(cell), codeOf(cell)).toEqual(textsOf(code[index]!));
      }
      expect(code.flatMap(textsOf).join("").length).toBeGreaterThan(200);
    },
    patience,
  );

  test("shows pictures that are seen without running anything, each with words", () => {
    const { cells } = readNotebook(path);
    const pictures = cells.flatMap((cell, index) =>
      (cell.outputs ?? []).flatMap((one) => {
        const data = one["data"] as Readonly<Record<string, unknown>> | undefined;
        return data?.["image/svg+xml"] === undefined ? [] : [{ data, behind: cells[index + 1] }];
      }),
    );
    expect(pictures.length).toBeGreaterThan(0);
    for (const { data, behind } of pictures) {
      expect([data["text/plain"]].flat().join("").length).toBeGreaterThan(30);
      expect([data["image/svg+xml"]].flat().join("")).toMatch(/aria-label="[^"]{30,}"/);
      expect(behind?.cell_type).toBe("markdown");
      expect(codeOf(behind!)).toMatch(/^Seen: \S/);
    }
  });

  test("tells a story: code folded, one module imported, sources named", () => {
    const { cells } = readNotebook(path);
    const code = cells.filter((cell) => cell.cell_type === "code");
    for (const { metadata } of code) {
      expect(metadata).toMatchObject({ jupyter: { source_hidden: true } });
    }
    const imports = code.flatMap((cell) => codeOf(cell).match(/from "[^"]+"/g) ?? []);
    expect(imports).toHaveLength(1);
    expect(codeOf(code[0]!)).toContain(imports[0]);
    expect(codeOf(cells.at(-1)!)).toMatch(/^## Sources$/m);
  });
});
