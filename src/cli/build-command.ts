import { execFileSync } from "node:child_process";
import { copyFileSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { type BuildOptions, build } from "esbuild";
import { billOfMaterials } from "./bill-of-materials.ts";
import { buildDigest } from "./build-digest.ts";
import { builtFrom, chartRuntime } from "./chart-runtime.ts";
import { licenceNotices } from "./licence-notices.ts";
import { fontFiles } from "./render.ts";
import { wholeZod } from "./whole-zod.ts";

/**
 * Bundles the command and the library, packages and all, into files that load what they use: a
 * command should not wait for hundreds of small files, nor for another command's document writer. Run
 * by `npm run build`; no command of the package itself.
 */

/** Native, for pictures alone; only looked for; published without the licence that it must carry. */
const apart = ["@resvg/resvg-js", "canvas", "saxes"];

const DROPWISE_BUILD = JSON.stringify(buildDigest());

/** Packages written for the older module form ask for this by name. */
const REQUIRE =
  "import{createRequire as makeRequire}from'node:module';const require=makeRequire(import.meta.url);";

const common = {
  plugins: [wholeZod],
  ...{ bundle: true, splitting: true, format: "esm", target: "node20", platform: "node" },
  ...{ external: apart, legalComments: "none", metafile: true, chunkNames: "part-[hash]" },
} as const satisfies BuildOptions;

async function bundled(entries: readonly string[], outdir: string, more: BuildOptions) {
  rmSync(outdir, { recursive: true, force: true });
  const entryPoints = [...entries];
  const { metafile } = await build({ ...common, ...more, entryPoints, outdir, metafile: true });
  const bytes = Object.values(metafile.outputs).reduce((sum, { bytes: own }) => sum + own, 0);
  const inputs = Object.keys(metafile.inputs).map((file) => resolve(file));
  process.stdout.write(
    `${outdir}: ${Object.keys(metafile.outputs).length} files, ${bytes} bytes\n`,
  );
  return inputs;
}

const rooms = readdirSync("src/rooms").map((file) => `src/rooms/${file}`);

const threads = ["src/cli/season-worker.ts", "src/cli/learn-worker.ts"];
const command = await bundled(["src/cli/start.ts", ...threads], "dist/command", {
  minify: true,
  define: { DROPWISE_BUILD },
  banner: { js: REQUIRE },
});
// Neutral: it runs in Node and in browsers, and takes each package's build for both.
const library = await bundled(["src/analyze.ts", ...rooms], "dist/lib", {
  ...{ entryNames: "[name]", platform: "neutral", mainFields: ["module", "main"] },
});

const at = (file: string): string => join("dist/command", file);
mkdirSync(at("fonts"));
for (const file of fontFiles) copyFileSync(file, at(`fonts/${file.split(/[\\/]/).at(-1)}`));
writeFileSync(at("chart-runtime.json"), JSON.stringify(chartRuntime()));
const notices = licenceNotices([...new Set([...command, ...library, ...fontFiles])]);
writeFileSync("dist/NOTICES.txt", notices);
const page = JSON.parse(readFileSync("dist/page-inputs.json", "utf8")) as readonly string[];
const carried = [...command, ...library, ...fontFiles, ...page.map((file) => resolve(file))];
const beside = ["vega", "@resvg/resvg-js", "saxes"].flatMap((name) => [
  ...builtFrom(name, import.meta.dirname),
]);
writeFileSync("dist/sbom.cdx.json", billOfMaterials([...carried, ...beside]));
const help = execFileSync(process.execPath, [at("start.js"), "--help"], { encoding: "utf8" });
writeFileSync(at("help.txt"), help);
