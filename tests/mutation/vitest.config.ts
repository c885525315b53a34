import { defineConfig } from "vitest/config";

/** Only the tests that mirror one room: fast enough to be run for every mutant. */
// biome-ignore lint/style/noDefaultExport: vitest reads its configuration from the default export
export default defineConfig({
  test: {
    include: [`tests/${process.env["MUTATED_ROOM"]}/**/*.test.ts`],
    testTimeout: 60_000,
  },
});
