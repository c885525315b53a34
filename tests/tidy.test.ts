import { readdirSync, readFileSync } from "node:fs";
import { posix } from "node:path";
import { expect, test } from "vitest";

/** What each room of src/ may import besides itself, in reading order. */
const mayImport: Readonly<Record<string, readonly string[]>> = {
  domain: [],
  words: ["domain"],
  numerics: [],
  intake: ["domain"],
  circuit: ["domain", "numerics"],
  meter: ["domain", "numerics", "circuit"],
  ageing: ["domain", "numerics"],
  inference: ["domain", "numerics", "circuit", "ageing"],
  diagnosis: ["domain", "numerics", "circuit", "ageing", "inference"],
  history: ["domain", "numerics", "circuit", "ageing"],
  learning: ["domain", "numerics", "inference", "diagnosis"],
  season: ["domain", "numerics", "circuit", "ageing", "inference", "diagnosis", "history"],
  policy: ["domain", "numerics", "circuit", "ageing", "diagnosis", "history", "season"],
  economics: ["domain", "numerics", "policy", "season"],
  meet: ["domain", "numerics", "circuit", "diagnosis", "history"],
  report: [
    "domain",
    "words",
    "circuit",
    "intake",
    "diagnosis",
    "meter",
    "history",
    "season",
    "learning",
    "policy",
    "economics",
    "meet",
  ],
  rooms: [
    "domain",
    "words",
    "numerics",
    "intake",
    "circuit",
    "meter",
    "diagnosis",
    "history",
    "season",
    "learning",
    "policy",
    "economics",
    "meet",
    "report",
  ],
  "builders.ts": ["domain", "intake", "season"],
  "analyze.ts": [
    "builders.ts",
    "domain",
    "words",
    "numerics",
    "intake",
    "circuit",
    "meter",
    "diagnosis",
    "history",
    "season",
    "learning",
    "policy",
    "economics",
    "meet",
    "report",
  ],
  cli: ["domain", "words", "intake", "report", "rooms", "analyze.ts"],
  page: ["domain", "words", "intake", "report", "rooms", "analyze.ts"],
};

const roomOf = (file: string): string => file.split("/")[0] ?? "";
const files = readdirSync("src", { recursive: true, encoding: "utf8" })
  .map((path) => path.replaceAll("\\", "/"))
  .filter((path) => path.endsWith(".ts"));
const imports = files.flatMap((file) =>
  [...readFileSync(`src/${file}`, "utf8").matchAll(/(?:from|import)\s*\(?\s*"([^"]+)"/g)].map(
    (match) => ({ file, target: match[1] ?? "" }),
  ),
);

test("the scan found something to check", () => {
  expect(files.length).toBeGreaterThan(0);
  expect(imports.length).toBeGreaterThan(0);
});

test("every source file lives in a listed room", () => {
  expect(files.filter((file) => !(roomOf(file) in mayImport))).toEqual([]);
});

test("rooms import only what the map allows", () => {
  const forbidden = imports
    .filter(({ target }) => target.startsWith("."))
    .map(({ file, target }) => ({
      file,
      from: roomOf(file),
      to: roomOf(posix.join(posix.dirname(file), target)),
    }))
    .filter(({ from, to }) => from !== to && !mayImport[from]?.includes(to));
  expect(forbidden).toEqual([]);
});

test("only the command line touches Node", () => {
  const strays = imports.filter(
    ({ file, target }) => target.startsWith("node:") && roomOf(file) !== "cli",
  );
  expect(strays).toEqual([]);
});

test("zod lives only where data comes in", () => {
  const strays = imports.filter(
    ({ file, target }) => target === "zod" && roomOf(file) !== "intake",
  );
  expect(strays).toEqual([]);
});
