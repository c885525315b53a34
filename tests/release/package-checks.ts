import { execFileSync } from "node:child_process";
import { readFileSync } from "node:fs";
import { publint } from "publint";

/** One thing that a release must be, and whether it is. */
export interface Check {
  readonly name: string;
  readonly ok: boolean;
  readonly detail: string;
  /** Not so yet, and known: publishing is refused, everything else goes on. */
  readonly isPlaceholder?: boolean;
}

/** A check as it is printed. */
export const checkLine = (mark: string, { name, detail }: Check): string =>
  `${mark}  ${name}${detail === "" ? "" : `: ${detail.trim()}`}\n`;

export interface PackedFile {
  readonly path: string;
  readonly size: number;
}

const MOST_PACKED = 4_000_000;
const MOST_UNPACKED = 14_000_000;

const about = JSON.parse(readFileSync("package.json", "utf8")) as {
  readonly version: string;
  readonly license: string;
  readonly homepage: string;
  readonly repository: { readonly url: string };
  readonly bugs: { readonly url: string };
  readonly bin: Readonly<Record<string, string>>;
  readonly exports: Readonly<Record<string, string | Readonly<Record<string, string>>>>;
  readonly dependencies: Readonly<Record<string, string>>;
  readonly optionalDependencies: Readonly<Record<string, string>>;
};

const stripped = (path: string): string => path.replace(/^\.\//, "");

/** Every file that package.json points at. */
const targets = (): readonly string[] =>
  [
    ...Object.values(about.bin),
    ...Object.values(about.exports).flatMap((one) =>
      typeof one === "string" ? [one] : Object.values(one),
    ),
  ]
    .filter((target) => !target.includes("*"))
    .map(stripped);

export function addresses(): readonly Check[] {
  const given = {
    homepage: about.homepage,
    repository: about.repository.url,
    bugs: about.bugs.url,
  };
  return Object.entries(given).map(([name, url]) => ({
    name: `package.json ${name}`,
    ok: !/\.example\b/.test(url),
    detail: url,
    isPlaceholder: true,
  }));
}

export function contents(files: readonly PackedFile[], packed: number): readonly Check[] {
  const paths = new Set(files.map(({ path }) => path));
  const needed = [
    "LICENSE",
    "README.md",
    "CHANGELOG.md",
    "dist/NOTICES.txt",
    "dist/sbom.cdx.json",
    "dist/dropwise.html",
    "dist/reference/index.html",
  ];
  const missing = [...needed, ...targets()].filter((path) => !paths.has(path));
  const strays = [...paths].filter((path) => /^(src|tests|notebooks)\/|\.map$/.test(path));
  const unpacked = files.reduce((sum, { size }) => sum + size, 0);
  return [
    { name: "files that must be there", ok: missing.length === 0, detail: missing.join(", ") },
    {
      name: "no sources, no maps without them",
      ok: strays.length === 0,
      detail: strays.slice(0, 3).join(", "),
    },
    {
      name: "sizes",
      ok: packed <= MOST_PACKED && unpacked <= MOST_UNPACKED,
      detail: `${packed} bytes packed, ${unpacked} unpacked, ${files.length} files`,
    },
  ];
}

const FREE = /^(MIT|ISC|BSD-[23]-Clause|Apache-2\.0|MPL-2\.0|0BSD)$/;

export function licences(): readonly Check[] {
  const text = readFileSync("LICENSE", "utf8");
  const beside = { ...about.dependencies, ...about.optionalDependencies };
  const others = Object.keys(beside).map((name) => {
    const own = JSON.parse(readFileSync(`node_modules/${name}/package.json`, "utf8"));
    return `${name} ${own.license as string}`;
  });
  const strange = others.filter((one) => !FREE.test(one.split(" ").at(-1)!));
  return [
    {
      name: "licence",
      ok: about.license === "MIT" && /^MIT License\n\nCopyright .* the Dropwise authors/.test(text),
      detail: text.split("\n")[2] ?? "",
    },
    {
      name: "licences of what is installed with it",
      ok: strange.length === 0,
      detail: others.join(", "),
    },
    {
      name: "CHANGELOG speaks of this version",
      ok: readFileSync("CHANGELOG.md", "utf8").includes(`## ${about.version}`),
      detail: about.version,
    },
  ];
}

interface Component {
  readonly "bom-ref": string;
  readonly purl: string;
  readonly hashes: unknown;
  readonly licenses: unknown;
}

/** The bill of materials names what is carried, and says of each what npm's own bill says. */
export function billOfMaterials(): Check {
  const parse = (text: string) => JSON.parse(text) as { components: readonly Component[] };
  const ours = parse(readFileSync("dist/sbom.cdx.json", "utf8")).components;
  const args = ["sbom", "--sbom-format", "cyclonedx"];
  const text = execFileSync("npm", args, { encoding: "utf8", maxBuffer: 50_000_000 });
  const theirs = new Map(parse(text).components.map((one) => [one["bom-ref"], one]));
  const agrees = (one: Component): boolean => {
    const other = theirs.get(one["bom-ref"]);
    if (other === undefined) return false;
    // npm leaves out a licence that has no short name.
    const licences = other.licenses ?? one.licenses;
    const facts = [other.purl, other.hashes, licences];
    return JSON.stringify([one.purl, one.hashes, one.licenses]) === JSON.stringify(facts);
  };
  const wrong = ours.filter((one) => !agrees(one));
  const told = readFileSync("dist/NOTICES.txt", "utf8");
  const named = ours.filter((one) => told.includes(one["bom-ref"].replace(/(?!^)@/, " ")));
  return {
    name: "bill of materials agrees with npm's",
    ok: wrong.length === 0 && named.length > 20,
    detail: `${ours.length} packages${wrong.map((one) => `, not ${one["bom-ref"]}`).join("")}`,
  };
}

/** The package's entries as bundlers and Node see them, by publint. */
export async function entries(): Promise<readonly Check[]> {
  const { messages } = await publint({ pkgDir: ".", strict: true });
  const detail = messages.map(({ code, path }) => `${code} at ${path.join(".")}`).join(", ");
  return [{ name: "publint, strict", ok: messages.length === 0, detail }];
}
