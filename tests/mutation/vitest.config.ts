import { readFileSync, statSync } from "node:fs";
import { join, relative } from "node:path";
import { defineConfig } from "vitest/config";
import { BaseSequencer, type TestSpecification } from "vitest/node";
import type { Mutated } from "./mutants.ts";

const folder = process.env["MUTATION_FOLDER"]!;
const { code } = JSON.parse(readFileSync(join(folder, "mutated.json"), "utf8")) as Mutated;

/** A story of minutes, which judges no mutant: what it sees in one the small tests must see. */
const stories = ["tests/policy/one-answer.test.ts"];

const room = process.env["MUTATED_ROOM"];
/** The walks that are held against brute force are asked through the diagnosis, and judge inference. */
const exactness = room === "inference" ? ["tests/diagnosis/*exactness.test.ts"] : [];

/** Small files first: what their tests notice, in milliseconds, the long ones need not try. */
class SmallFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const size = ({ moduleId }: TestSpecification): number => statSync(moduleId).size;
    return files.toSorted((a, b) => size(a) - size(b));
  }
}

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
    include: [`tests/${room}/**/*.test.ts`, ...exactness],
    exclude: stories,
    runner: "./tests/mutation/mutating-runner.ts",
    pool: "forks",
    maxWorkers: 1,
    sequence: { sequencer: SmallFirst },
    isolate: false,
    testTimeout: 600_000,
    env: { DROPWISE_CACHE: "off" },
  },
});
