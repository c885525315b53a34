import { defineConfig } from "vitest/config";

// biome-ignore lint/style/noDefaultExport: vitest reads its configuration from the default export
export default defineConfig({
  test: {
    include: ["tests/**/*.test.ts"],
    testTimeout: 60_000,
    hookTimeout: 120_000,
    maxWorkers: 2,
  },
});
