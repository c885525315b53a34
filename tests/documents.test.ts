import { existsSync, readdirSync, readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { commands } from "./cli/commands.ts";
import { runCommand } from "./cli/run-command.ts";

/**
 * What README and DEVELOPERS.md name is there: scripts, files, commands, versions. README's command lines
 * and programs are run by `readme.test.ts`, what takes minutes in small by `small-runs.test.ts`.
 */

const { scripts } = JSON.parse(readFileSync("package.json", "utf8")) as {
  readonly scripts: Readonly<Record<string, string>>;
};
const documents = ["README.md", "DEVELOPERS.md"].map((name) => [name, readFileSync(name, "utf8")]);
const files = ["src", "tests", "datasets", "notebooks"].flatMap((folder) =>
  readdirSync(folder, { recursive: true, encoding: "utf8" }).map(
    (path) => `/${folder}/${path.replaceAll("\\", "/")}`,
  ),
);

/** All matches of the first group. */
const named = (text: string, pattern: RegExp): readonly string[] =>
  [...text.matchAll(pattern)].map(([, name]) => name!);

describe.each(documents)("%s", (_, text) => {
  test("every script that it names is one", () => {
    const asked = named(text!, /npm run ([\w:-]+)/g);
    expect(asked.length).toBeGreaterThan(4);
    expect(asked.filter((name) => !Object.hasOwn(scripts, name))).toEqual([]);
  });

  test("every file of code that it names stands somewhere", () => {
    const asked = named(text!, /(?<![\w./-])((?:[\w.-]+\/)*[\w.-]+\.(?:ts|ipynb))(?![\w.-])/g);
    expect(asked.length).toBeGreaterThan(2);
    expect(asked.filter((name) => !files.some((file) => file.endsWith(`/${name}`)))).toEqual([]);
  });

  test("what it has vitest run is there", () => {
    const asked = named(text!, /npx vitest run ([^`]+)`/g).flatMap((paths) => paths.split(" "));
    expect(asked.filter((path) => !existsSync(path))).toEqual([]);
  });
});

test("every script runs a file that is there", () => {
  const asked = named(Object.values(scripts).join("\n"), /tsx ([\w./-]+)/g);
  expect(asked.length).toBeGreaterThan(10);
  expect(asked.filter((path) => !existsSync(path))).toEqual([]);
});

test("README's table has every command, and each explains itself with an example", async () => {
  const rows = named(documents[0]![1]!, /^\| (`[a-z`, ]+`) \| /gm);
  const told = rows.flatMap((row) => named(row, /`([a-z]+)`/g));
  const known = new Set(commands.map(([name]) => name.split(" ")[0]!));
  expect(told.toSorted()).toEqual([...known].toSorted());
  for (const [name, register] of commands) {
    const { out, status } = await runCommand([register], [...name.split(" "), "--help"]);
    expect([name, status]).toEqual([name, 0]);
    expect(out).toMatch(/^Examples?:$/m);
  }
});

test("the picture drawer that other systems are told to take is the one in use", () => {
  const lock = JSON.parse(readFileSync("package-lock.json", "utf8")) as {
    readonly packages: Readonly<Record<string, { readonly version: string }>>;
  };
  const asked = named(documents[1]![1]!, /@resvg\/resvg-js-[\w-]+@([\d.]+)/g);
  const { version } = lock.packages["node_modules/@resvg/resvg-js"]!;
  expect(asked).toEqual([version]);
});
