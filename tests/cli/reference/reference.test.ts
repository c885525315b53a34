import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join, resolve } from "node:path";
import { pathToFileURL } from "node:url";
import { parse } from "parse5";
import { afterAll, beforeAll, expect, test } from "vitest";
import { packageEntries } from "../../../src/cli/reference/entries.ts";
import { exportsOf } from "../../../src/cli/reference/exported.ts";
import { errorsSaid, gaps } from "../../../src/cli/reference/gaps.ts";
import { referencePages } from "../../../src/cli/reference/pages.ts";
import { measureOf } from "../../../src/cli/reference/units.ts";

const entries = packageEntries();

let folder = "";
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "dropwise-reference-"));
});
afterAll(() => rmSync(folder, { recursive: true }));

/** A file as an entry of its own, read as the reference reads one. */
function entryOf(name: string, text: string) {
  const file = join(folder, name);
  writeFileSync(file, text);
  return { name: "dropwise/made", file, doc: "", exported: exportsOf(file) };
}

test("every export has meaning, units, ranges, errors and source", () => {
  expect(entries.length).toBeGreaterThan(10);
  expect(gaps(entries)).toEqual([]);
});

// The other witness is the JavaScript engine: what a module really has when it is loaded.
test.each(entries)("$name: the reference has what the module has when it runs", async (entry) => {
  const names = Object.keys((await import(pathToFileURL(resolve(entry.file)).href)) as object);
  const told = entry.exported.filter(({ kind }) => kind !== "type").map(({ name }) => name);
  expect(told.toSorted()).toEqual(names.toSorted());
});

test("what is left unsaid is found, each kind of it", () => {
  const entry = entryOf(
    "unsaid.ts",
    `export const half = (x: number) => x / 2;
/** Half of a length [m], for who has a whole one. */
export function checked(length: number): number { return sure(length); }
function sure(x: number): number { if (x < 0) throw new Error("below 0"); return x; }
/** What a tank holds; ISO 1000. */
export interface Tank {
  /** When full [hogsheads]. */
  readonly size: number;
  /** When full [hogsheads; 1 or more]. */
  readonly other: number;
}
`,
  );
  expect(gaps([entry]).map((gap) => gap.replace(/ \(.*\)/, ""))).toEqual([
    "dropwise/made half: no meaning",
    "dropwise/made half: x: no unit or range",
    "dropwise/made half: no type of what comes back",
    "dropwise/made half: no source",
    "dropwise/made checked: length: no unit or range",
    "dropwise/made checked: throws, and does not say so",
    "dropwise/made checked: no source",
    "dropwise/made Tank: size: no unit or range",
  ]);
});

test("units come from brackets, brands and names, ranges from the unit or from words beside it", () => {
  const { exported } = entryOf(
    "said.ts",
    `/**
 * Throws where \`n\` is none. Source: a table of 1962.
 *
 * @param b [weeks; 1 to 52]
 */
export const f = (a: Volts, b: number, lostOhms: number, n: number): Result<number, string> => a;
`,
  );
  const [one] = exported;
  const found = one!.parts.map((part) => measureOf(part, one!));
  expect(found.map((measure) => measure && `${measure.unit}: ${measure.range}`)).toEqual([
    "V: 0 or more",
    "weeks: 1 to 52",
    "Ω: 0 or more; infinite for an open path",
    null,
  ]);
  expect(errorsSaid(one!)).toBe("Throws where `n` is none.");
});

interface Parsed {
  readonly attrs?: readonly { readonly name: string; readonly value: string }[];
  readonly childNodes?: readonly Parsed[];
}

const attributes = (node: Parsed, name: string): readonly string[] => [
  ...(node.attrs ?? []).filter((one) => one.name === name).map(({ value }) => value),
  ...(node.childNodes ?? []).flatMap((child) => attributes(child, name)),
];

test("pages are whole HTML, every link leads somewhere, and nothing comes from elsewhere", () => {
  const pages = referencePages(entries);
  const parsed = new Map(
    [...pages].map(([name, text]) => {
      const onParseError = ({ code }: { code: string }): void => {
        throw new Error(`${name}: ${code}`);
      };
      return [name, parse(text, { onParseError }) as Parsed] as const;
    }),
  );
  const ids = new Map([...parsed].map(([name, page]) => [name, new Set(attributes(page, "id"))]));
  const links = [...parsed].flatMap(([name, page]) =>
    attributes(page, "href").map((href) => {
      const [file, id] = href.split("#");
      return { name, href, to: file === "" ? name : file!, id };
    }),
  );
  const dead = links.filter(
    ({ to, id }) => !ids.has(to) || (id !== undefined && !ids.get(to)!.has(id)),
  );
  expect(links.length).toBeGreaterThan(500);
  expect(dead).toEqual([]);
  expect([...pages.values()].filter((text) => /\bsrc=|url\(|@import/.test(text))).toEqual([]);
});
