import { readFileSync } from "node:fs";
import { expect, test } from "vitest";

/** Every script runs in the shells of Windows too: programs and words, joined by `&&` and nothing else. */
const { scripts } = JSON.parse(readFileSync("package.json", "utf8")) as {
  readonly scripts: Readonly<Record<string, string>>;
};

const program = /^(npm run|tsx|tsc|vitest|biome|knip)( [\w./:-]+)*( --( [\w-]+)+)?$/;

test.each(Object.entries(scripts))("npm run %s needs no POSIX shell", (_, script) => {
  for (const part of script.split(" && ")) expect(part).toMatch(program);
});
