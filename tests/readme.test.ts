import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { build } from "esbuild";
import { afterAll, expect, test } from "vitest";
import { readmeCommands } from "./release/installed.ts";
import { readmeParts } from "./release/readme.ts";

/** What README tells a reader to type runs from source; `npm run release:check` runs it installed. */

const folder = mkdtempSync(join(tmpdir(), "dropwise-readme-"));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

test("every command line of README does what it says, in the order in which it stands there", () => {
  const tool = [
    process.execPath,
    "--import",
    import.meta.resolve("tsx"),
    resolve("src/cli/main.ts"),
  ];
  const failed = readmeCommands(folder, tool).filter(({ ok }) => !ok);
  expect(failed).toEqual([]);
}, 200_000);

test("every program of README runs, and says something each time that it asks to", async () => {
  const { programs } = readmeParts();
  expect(programs.length).toBeGreaterThan(0);
  for (const code of programs) {
    const { outputFiles } = await build({
      stdin: {
        contents: `export const said: unknown[][] = [];
          const console = { log: (...all: unknown[]) => said.push(all) };
          ${code}`,
        loader: "ts",
        resolveDir: ".",
      },
      alias: { dropwise: "./src/analyze.ts", "dropwise/report": "./src/rooms/report-room.ts" },
      ...{ bundle: true, write: false, format: "esm", platform: "node", external: ["canvas"] },
      banner: {
        js: 'import { createRequire } from "node:module"; const require = createRequire("/");',
      },
    });
    const url = `data:text/javascript;base64,${Buffer.from(outputFiles[0]!.contents).toString("base64")}`;
    const { said } = (await import(/* @vite-ignore */ url)) as { said: readonly unknown[][] };
    expect(said).toHaveLength(code.match(/console\.log\(/g)!.length);
    for (const line of said) expect(line.join(" ")).not.toMatch(/undefined|null|NaN/);
  }
}, 60_000);
