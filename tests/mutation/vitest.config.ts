import { readFileSync } from "node:fs";
import { join, relative } from "node:path";
import { defineConfig } from "vitest/config";
import type { Mutated } from "./mutants.ts";

const folder = process.env["MUTATION_FOLDER"]!;
const { code } = JSON.parse(readFileSync(join(folder, "mutated.json"), "utf8")) as Mutated;

/** Stories of minutes, which judge no mutant: what they see in one the small tests must see. */
const stories = [
  "tests/diagnosis/exactness.test.ts",
  "tests/diagnosis/second-exactness.test.ts",
  "tests/policy/one-answer.test.ts",
];

/** Only the tests that mirror one room, over that room with all its mutants in it. */
// biome-ignore lint/style/noDefaultExport: vitest reads its configuration from the default export
export default defineConfig({
  plugins: [
    {
      name: "mutants",
      enforce: "pre",
      load: (path) => code[relative(process.cwd(), path.split("?")[0]!).replaceAll("\\", "/")],
    },
  ],
  test: {
    include: [`tests/${process.env["MUTATED_ROOM"]}/**/*.test.ts`],
    exclude: stories,
    runner: "./tests/mutation/mutating-runner.ts",
    pool: "forks",
    maxWorkers: 1,
    isolate: false,
    testTimeout: 600_000,
    env: { DROPWISE_CACHE: "off" },
  },
});
