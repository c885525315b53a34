import { spawnSync } from "node:child_process";
import { expect, test } from "vitest";

const run = (words: Record<string, string>, ...args: readonly string[]) => {
  const { PATH = "", HOME = "" } = process.env;
  return spawnSync(process.execPath, ["--import", "tsx", "src/cli/main.ts", ...args], {
    env: { PATH, HOME, DROPWISE_POOL: "datasets/kestrel-bay", ...words },
    encoding: "utf8",
  });
};

/**
 * Node warns on standard error of the two together where a program asks it for its colours; ours asks
 * the two words itself, and nobody else.
 */
test("FORCE_COLOR and NO_COLOR together: the first decides, and nothing is said of it", () => {
  const both = run({ FORCE_COLOR: "1", NO_COLOR: "1" }, "next", "--alone");
  expect(both.stderr).not.toMatch(/warning/i);
  const unknown = run({ FORCE_COLOR: "1", NO_COLOR: "1" }, "nosuch");
  expect(unknown.stderr).toBe(
    "error: unknown command 'nosuch'\n(dropwise --help shows what there is)\n",
  );
});
