import { defineConfig } from "vitest/config";

// biome-ignore lint/style/noDefaultExport: vitest reads its configuration from the default export
export default defineConfig({
  test: {
    include: ["tests/**/*.test.ts"],
    testTimeout: 120_000,
    hookTimeout: 180_000,
    maxWorkers: 2,
    // No test takes an answer that another run has left.
    env: { DROPWISE_CACHE: "off" },
    // The continuous check reads its count from here.
    reporters: process.env["CI"]
      ? ["default", ["json", { outputFile: ".vitest/results.json" }]]
      : ["default"],
  },
});
