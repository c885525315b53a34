import { execFileSync } from "node:child_process";
import { createHash } from "node:crypto";
import {
  chmodSync,
  existsSync,
  mkdirSync,
  readdirSync,
  readFileSync,
  writeFileSync,
} from "node:fs";
import { createRequire } from "node:module";
import { dirname, join } from "node:path";
import { parseArgs } from "node:util";
import { build } from "esbuild";
import { licenceNotices } from "../licence-notices.ts";

/**
 * The command as one file with Node in it (Node's single executable applications), from `dist/command`.
 * Run by `npm run executable`; no command of the package itself. For another system than this one give
 * that system's Node of this very version and the name of its picture drawer:
 * `npx tsx src/cli/alone/build-executable.ts --node node.exe --for win32-x64-msvc`.
 */

/** Node looks for this word in its own binary (nodejs.org/api/single-executable-applications.html). */
const FUSE = "NODE_SEA_FUSE_fce680ab2cc467b6e072b8b5df1996b2";

const require = createRequire(import.meta.url);
const packages = dirname(dirname(dirname(require.resolve("@resvg/resvg-js/package.json"))));

const { values } = parseArgs({
  options: {
    node: { type: "string", default: process.execPath },
    for: { type: "string", default: hereName() },
    out: { type: "string", default: "dist/executable" },
  },
});
const [platform] = values.for.split("-");

/** This system in the picture drawer's words. */
function hereName(): string {
  const tail = { linux: "-gnu", win32: "-msvc" }[process.platform as string] ?? "";
  return `${process.platform}-${process.arch}${tail}`;
}

const filesBelow = (folder: string): readonly string[] =>
  readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => join(entry.parentPath, entry.name));

/** What is laid out: path there, with `/`, and the file here. */
function parts(): Readonly<Record<string, string>> {
  const named = (root: string, at: string) =>
    filesBelow(root).map((file) => [at + file.slice(root.length).replaceAll("\\", "/"), file]);
  const beside = ["@resvg/resvg-js", `@resvg/resvg-js-${values.for}`, "saxes", "xmlchars"];
  return Object.fromEntries([
    ["package.json", "package.json"],
    ["NOTICES.txt", "dist/NOTICES.txt"],
    ...named("dist/command", "dist/command"),
    ...beside.flatMap((name) =>
      named(join(packages, name), `node_modules/${name}`).filter(
        ([path]) => !/\.(map|d\.ts|md)$/.test(path!),
      ),
    ),
  ]);
}

/** Node's own licence, from where its packagers put it. */
function nodeLicence(node: string): string {
  const places = [
    "../LICENSE",
    "LICENSE",
    "../share/doc/nodejs/LICENSE",
    "../share/doc/node/LICENSE",
  ];
  const found = places.map((place) => join(dirname(node), place)).find(existsSync);
  if (found === undefined) throw new Error(`no licence of Node near ${node} to carry along`);
  return readFileSync(found, "utf8");
}

/** One package's own words about itself. */
const about = (name: string) =>
  JSON.parse(readFileSync(join(packages, name, "package.json"), "utf8")) as {
    readonly version: string;
    readonly license: string;
    readonly author?: string;
    readonly repository?: string;
  };

/** Licences of all that is in the file; saxes comes without one, and says only which. */
function notices(): string {
  const { version, license, author } = about("saxes");
  const drawer = about("@resvg/resvg-js");
  return [
    readFileSync("dist/NOTICES.txt", "utf8"),
    licenceNotices(["@resvg/resvg-js", "xmlchars"].map((name) => join(packages, name, "index"))),
    `saxes ${version}, ${author}: ${license}, its terms as printed above for others.\n`,
    `Source of @resvg/resvg-js ${drawer.version}: ${drawer.repository}\n`,
    nodeLicence(values.node),
  ].join("\n----\n\n");
}

const head = readFileSync(values.node);
if (!head.includes(FUSE)) throw new Error(`${values.node} can't carry a program (no fuse in it)`);
if (!head.includes(process.version))
  throw new Error(`${values.node} is not Node ${process.version}`);

mkdirSync(values.out, { recursive: true });
const at = (file: string): string => join(values.out, file);
const files = { ...parts(), "start.cjs": at("start.cjs") };
writeFileSync(files["start.cjs"], 'import("./dist/command/start.js");\n');

const contents = Object.entries(files).map(([path, file]) => [path, readFileSync(file)] as const);
const hash = createHash("sha256");
for (const [path, bytes] of contents) hash.update(`${path}\0${bytes.length}\0`).update(bytes);
const { version } = JSON.parse(readFileSync("package.json", "utf8")) as { version: string };
writeFileSync(
  at("parts.json"),
  JSON.stringify({
    name: `dropwise-${version}-${hash.digest("hex").slice(0, 16)}`,
    sizes: Object.fromEntries(contents.map(([path, bytes]) => [path, bytes.length])),
  }),
);

await build({
  ...{ entryPoints: [join(import.meta.dirname, "start-alone.ts")], outfile: at("main.cjs") },
  ...{ bundle: true, platform: "node", format: "cjs", target: "node20", minify: true },
});
writeFileSync(
  at("sea.json"),
  JSON.stringify({
    ...{ main: at("main.cjs"), output: at("dropwise.blob"), disableExperimentalSEAWarning: true },
    assets: { ...files, "parts.json": at("parts.json") },
  }),
);
execFileSync(process.execPath, ["--experimental-sea-config", at("sea.json")], { stdio: "ignore" });

const program = at(platform === "win32" ? "dropwise.exe" : "dropwise");
writeFileSync(program, head);
chmodSync(program, 0o755);
const signs = platform === "darwin" && process.platform === "darwin";
if (signs) execFileSync("codesign", ["--remove-signature", program]);
const segment = platform === "darwin" ? ["--macho-segment-name", "NODE_SEA"] : [];
const blob = [program, "NODE_SEA_BLOB", at("dropwise.blob"), "--sentinel-fuse", FUSE, ...segment];
const injector = join(packages, "postject/dist/cli.js");
execFileSync(process.execPath, [injector, ...blob], { stdio: ["ignore", "ignore", "inherit"] });
if (signs) execFileSync("codesign", ["--sign", "-", program]);
writeFileSync(at("NOTICES.txt"), notices());
process.stdout.write(
  `${program}: ${readFileSync(program).length} bytes, ${contents.length} parts\n`,
);
