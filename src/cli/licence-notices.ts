import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";

/** A package whose code is carried along, with its own licence file. */
interface Licensed {
  /** `d3-array 3.2.4` */
  readonly name: string;
  /** Lines of copyright at the head of the licence, one to a holder. */
  readonly holders: string;
  /** The licence without them, in one spelling of blanks and line ends. */
  readonly terms: string;
}

/** The folder of the package that a file belongs to; null for the project's own files. */
export const packageFolder = (file: string): string | null =>
  /^(.*node_modules[\\/](?:@[^\\/]+[\\/])?[^\\/]+)[\\/]/.exec(file)?.[1] ?? null;

function licensed(folder: string): Licensed {
  const about = JSON.parse(readFileSync(join(folder, "package.json"), "utf8")) as {
    name: string;
    version: string;
  };
  const file = readdirSync(folder).find((name) => /^licen[cs]e/i.test(name));
  if (file === undefined) throw new Error(`${folder} has no licence file to carry along`);
  const text = readFileSync(join(folder, file), "utf8").replaceAll("\r\n", "\n").trim();
  const name = `${about.name} ${about.version}`;
  // Only lines at the head stand for the whole file; further down they belong to a part of it.
  const head = /^(?:(?:The )?\w+ License(?: \(\w+\))?\n+)?((?:Copyright .*\n)+)\n*/.exec(text);
  const terms = (rest: string): string =>
    rest
      .split(/\n{2,}/)
      .map((paragraph) => paragraph.replaceAll(/\s+/g, " ").trim())
      .join("\n\n");
  return head === null
    ? { name, holders: "", terms: terms(text) }
    : { name, holders: (head[1] ?? "").trim(), terms: terms(text.slice(head[0].length)) };
}

function grouped<T>(all: readonly T[], key: (one: T) => string): readonly (readonly T[])[] {
  const groups = new Map<string, T[]>();
  for (const one of all) groups.set(key(one), [...(groups.get(key(one)) ?? []), one]);
  return [...groups.values()];
}

/**
 * The licences of all packages that some files belong to: who holds the copyright of what, then
 * the terms, each wording once. Throws where a package has no licence file.
 */
export function licenceNotices(files: readonly string[]): string {
  const folders = new Set(files.map(packageFolder).filter((one) => one !== null));
  const all = [...folders].map(licensed).toSorted((a, b) => (a.name < b.name ? -1 : 1));
  return grouped(all, (one) => one.terms)
    .map((same) => {
      const holders = grouped(same, (one) => one.holders).map((own) =>
        [`${own.map((one) => one.name).join(", ")}:`, own[0]?.holders].join("\n").trim(),
      );
      return `${holders.join("\n\n")}\n\n${same[0]?.terms}\n`;
    })
    .join("\n----\n\n");
}
