import { readFileSync } from "node:fs";
import { build } from "esbuild";
import { expect, test } from "vitest";

/**
 * Every verb's `@example` runs, and prints what the comment behind each `console.log` says: `// 4.97`.
 */
const entry = readFileSync("src/analyze.ts", "utf8");
const source = entry + readFileSync("src/builders.ts", "utf8");

const named = (text: string): readonly string[] =>
  [...text.matchAll(/^export (?:const|function) (\w+)/gm)].map(([, name]) => name!);

const verbs = named(source);

const examples = [
  ...source.matchAll(/\* @example\n((?: \*.*\n)+?) \*\/\nexport (?:const|function) (\w+)/g),
].map(([, text, name]) => ({
  name: name!,
  code: text!.replace(/^ \* ?/gm, ""),
}));

test("there are about ten verbs, and each has an example", () => {
  expect(named(entry).length).toBeGreaterThanOrEqual(8);
  expect(named(entry).length).toBeLessThanOrEqual(12);
  expect(examples.map(({ name }) => name)).toEqual(verbs);
});

test.each(examples)("the example of $name prints what it says", async ({ code }) => {
  const wanted = [...code.matchAll(/console\.log\(.*\); \/\/ (.*)$/gm)].map(([, text]) => text);
  expect(wanted.length).toBeGreaterThan(0);
  const asked = `import { ${verbs.join(", ")} } from "./src/analyze.ts";
    export const said: string[] = [];
    const console = { log: (...all: readonly unknown[]) => said.push(all.join(" ")) };
    ${code}`;
  const { outputFiles } = await build({
    stdin: { contents: asked, loader: "ts", resolveDir: "." },
    bundle: true,
    write: false,
    format: "esm",
    platform: "node",
    banner: {
      js: 'import { createRequire } from "node:module"; const require = createRequire("/");',
    },
  });
  const url = `data:text/javascript;base64,${Buffer.from(outputFiles[0]!.contents).toString("base64")}`;
  const { said } = (await import(/* @vite-ignore */ url)) as { said: readonly string[] };
  expect(said).toEqual(wanted);
});
