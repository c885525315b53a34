import { createHash } from "node:crypto";
import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { basename, dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { gzipSync } from "node:zlib";
import { build, type Plugin, transform } from "esbuild";
import { buildDigest } from "./build-digest.ts";
import { licenceNotices } from "./licence-notices.ts";
import { wholeZod } from "./whole-zod.ts";

/**
 * Builds the deck page: one HTML file that needs nothing beside it and no network. Run by
 * `npm run page`; no command of the package itself.
 */

const pageFolder = join(dirname(fileURLToPath(import.meta.url)), "..", "page");

/** Kinds of chart that no report draws; without them the chart engine is a tenth smaller. */
const unusedCharts = /^vega-(geo|force|hierarchy|voronoi|wordcloud|crossfilter|label|regression)$/;

/** The file that gathers all kinds of chart; parts that share code import each other by name. */
const chartEngine = /[\\/]vega[\\/](build[\\/])?[^\\/]*$/;

/** The validation library's writer of JSON Schemas, which every schema refers to: never asked here. */
const schemaWriters = /[\\/]zod[\\/].*[\\/](to-json-schema|json-schema-processors)\.js$/;

/** What version 1.1 of YAML has more than 1.2: dates, sets, binary data. No pool file holds any. */
const olderYaml =
  /[\\/]yaml[\\/].*[\\/]yaml-1\.1[\\/](binary|omap|pairs|schema|set|timestamp)\.js$/;

/** A file that says that it is of 1.1 is read as one of 1.2: by this file, in the place of that version's. */
const newerYaml = (path: string): string => join(dirname(path), "..", "core", "schema.js");

/** What draws maps. No report has one; the chart engine names its kinds of map, and makes none. */
const mapMaker = /[\\/]d3-geo[\\/]/;

/** The reader of sheets, with a stand-in for Node's bytes, whose numbers it never reads or writes. */
const sheetReader = /[\\/]csv-parse[\\/].*[\\/]esm[\\/]sync\.js$/;
const numbersInBytes = /^Buffer\.prototype\.(read|write)[A-Z]\w+ = [\s\S]*?^\};\n/gm;

/** The names that a module gives in one list. */
const listed = (module: string): readonly string[] =>
  (/^export \{ (.*) \};$/m.exec(module)?.[1]?.split(", ") ?? []).map(
    (name) => name.split(" as ").at(-1) ?? name,
  );

/** A module with the same names, of which each stands for nothing. */
const withoutValues = (module: string): string =>
  listed(module)
    .map((name) => `export const ${name} = undefined;`)
    .join("\n");

/** A module with the same names, of which each does nothing. */
const hollow = (module: string): string =>
  [...module.matchAll(/^export (?:const|function) (\w+)/gm)]
    .map(([, name]) => `export const ${name} = () => {};`)
    .join("\n");

/** Leaves out what the page never runs. */
const leaveOut: Plugin = {
  name: "leave-out",
  setup(to) {
    to.onLoad({ filter: schemaWriters }, ({ path }) => ({
      contents: hollow(readFileSync(path, "utf8")),
    }));
    to.onLoad({ filter: sheetReader }, ({ path }) => ({
      contents: readFileSync(path, "utf8").replaceAll(numbersInBytes, ""),
    }));
    to.onLoad({ filter: mapMaker }, ({ path }) => ({
      contents: listed(readFileSync(path, "utf8"))
        .map((name) => `export const ${name} = () => {};`)
        .join("\n"),
    }));
    to.onLoad({ filter: olderYaml }, ({ path }) => {
      if (basename(path) !== "schema.js")
        return { contents: withoutValues(readFileSync(path, "utf8")) };
      const newer = newerYaml(path);
      return { contents: readFileSync(newer, "utf8"), resolveDir: dirname(newer) };
    });
    // Charts are compiled and drawn with one reader of expressions: the drawing engine's own.
    to.onResolve({ filter: /^vega-expression$/ }, ({ path, importer, kind }) =>
      /[\\/]vega-lite[\\/]/.test(importer)
        ? to.resolve(path, { resolveDir: pageFolder, kind })
        : null,
    );
    to.onResolve({ filter: unusedCharts }, ({ path, importer }) =>
      chartEngine.test(importer) ? { path, namespace: "empty" } : null,
    );
    // What the engine reads map files with, by the two names that it asks for.
    to.onResolve({ filter: /^topojson-client$/ }, ({ path }) => ({ path, namespace: "empty" }));
    to.onLoad({ filter: /.*/, namespace: "empty" }, ({ path }) => ({
      contents: path === "topojson-client" ? "export let feature, mesh;" : "export {};",
    }));
  },
};

interface Script {
  readonly text: string;
  /** Every file that it was made from. */
  readonly inputs: readonly string[];
}

/** One script with all that it imports. */
async function bundle(entry: string): Promise<Script> {
  const built = await build({
    entryPoints: [join(pageFolder, entry)],
    bundle: true,
    minify: true,
    write: false,
    metafile: true,
    format: "iife",
    target: "es2022",
    legalComments: "none",
    charset: "utf8",
    define: {
      "process.env.NODE_ENV": '"production"',
      DROPWISE_BUILD: JSON.stringify(buildDigest()),
    },
    // Packages may stand behind a link; what they import is looked up from where the link stands.
    preserveSymlinks: true,
    plugins: [wholeZod, leaveOut],
  });
  return {
    text: built.outputFiles[0]?.text.trim() ?? "",
    inputs: Object.keys(built.metafile.inputs),
  };
}

/** Text of a script that can neither end its own element nor open a comment. */
const inElement = (text: string): string =>
  text.replaceAll("</script", "<\\/script").replaceAll("<!--", "<\\!--");

/** Printable letters but those that mean something in HTML, or in this file's own quotes. */
const digits = Array.from({ length: 94 }, (_, k) => String.fromCharCode(33 + k))
  .filter((letter) => !"<>&\"'`\\$~".includes(letter))
  .join("");

/**
 * Packed, because these scripts are most of the page and none of them shows its first screen: five letters
 * to four bytes, a sixteenth less than base64 takes. The 85 letters themselves stand first.
 */
function packed(text: string): string {
  const bytes = gzipSync(text, { level: 9 });
  let written = digits;
  for (let at = 0; at < bytes.length; at += 4) {
    const four = Buffer.alloc(4);
    const count = bytes.copy(four, 0, at, at + 4);
    let value = four.readUInt32BE();
    let five = "";
    for (let k = 0; k < 5; k += 1) {
      five = digits.charAt(value % 85) + five;
      value = Math.floor(value / 85);
    }
    written += five.slice(0, count + 1);
  }
  return written;
}

const hash = (text: string): string =>
  `'sha256-${createHash("sha256").update(text, "utf8").digest("base64")}'`;

/** The whole page as text, and every file whose code is in it. */
export async function buildPage(): Promise<Script> {
  const template = readFileSync(join(pageFolder, "dropwise.html"), "utf8");
  const css = readFileSync(join(pageFolder, "style.css"), "utf8");
  const style = (await transform(css, { loader: "css", minify: true })).code.trim();
  const main = await bundle("main.ts");
  const compute = await bundle("compute-worker.ts");
  const charts = await bundle("chart-worker.ts");
  const inputs = [...new Set([main, compute, charts].flatMap((one) => one.inputs))];
  const script = inElement(main.text);
  // Only these very texts may run or style; workers are made of them, pictures are drawn by them.
  const policy = [
    "default-src 'none'",
    `script-src ${hash(script)} ${hash(compute.text)}`,
    `style-src ${hash(style)}`,
    "worker-src blob:",
    "img-src blob: data:",
    "base-uri 'none'",
    "form-action 'none'",
  ].join("; ");
  const parts: Readonly<Record<string, string>> = {
    POLICY: policy,
    COMPUTE: packed(compute.text),
    CHARTS: packed(charts.text),
    NOTICES: inElement(licenceNotices(inputs)),
    "/* STYLE */": style,
    "/* SCRIPT */": script,
  };
  const text = template.replaceAll(
    /POLICY|COMPUTE|CHARTS|NOTICES|\/\* STYLE \*\/|\/\* SCRIPT \*\//g,
    (name) => parts[name] ?? name,
  );
  return { text, inputs };
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const { text: page, inputs } = await buildPage();
  mkdirSync("dist", { recursive: true });
  writeFileSync("dist/dropwise.html", page);
  // For the bill of materials, which the command's build writes.
  writeFileSync("dist/page-inputs.json", JSON.stringify(inputs));
  process.stdout.write(`dist/dropwise.html: ${Buffer.byteLength(page)} bytes\n`);
}
