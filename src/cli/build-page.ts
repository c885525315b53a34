import { createHash } from "node:crypto";
import { mkdirSync, readFileSync, writeFileSync } from "node:fs";
import { dirname, join } from "node:path";
import { fileURLToPath } from "node:url";
import { build } from "esbuild";

/**
 * Builds the deck page: one HTML file that needs nothing beside it and no network. Run by
 * `npm run page`; no command of the package itself.
 */

const pageFolder = join(dirname(fileURLToPath(import.meta.url)), "..", "page");

/** One script with all that it imports, as text that can stand in an HTML page. */
async function bundle(entry: string, format: "esm" | "iife"): Promise<string> {
  const built = await build({
    entryPoints: [join(pageFolder, entry)],
    bundle: true,
    minify: true,
    write: false,
    format,
    target: "es2022",
    legalComments: "none",
    charset: "utf8",
    define: { "process.env.NODE_ENV": '"production"' },
    // Packages may stand behind a link; what they import is looked up from where the link stands.
    preserveSymlinks: true,
  });
  const text = built.outputFiles[0]?.text.trim() ?? "";
  return text.replaceAll("</script", "<\\/script").replaceAll("<!--", "<\\!--");
}

const hash = (text: string): string =>
  `'sha256-${createHash("sha256").update(text, "utf8").digest("base64")}'`;

/** The whole page as text. */
export async function buildPage(): Promise<string> {
  const template = readFileSync(join(pageFolder, "dropwise.html"), "utf8");
  const style = readFileSync(join(pageFolder, "style.css"), "utf8")
    .replaceAll(/\/\*[^]*?\*\//g, "")
    .replaceAll(/\s+/g, " ")
    .trim();
  const script = await bundle("main.ts", "esm");
  const charts = await bundle("chart-worker.ts", "esm");
  // Only these very texts may run or style; workers are made of them, pictures are drawn by them.
  const policy = [
    "default-src 'none'",
    `script-src ${hash(script)}`,
    `style-src ${hash(style)}`,
    "worker-src blob:",
    "img-src blob: data:",
    "base-uri 'none'",
    "form-action 'none'",
  ].join("; ");
  const parts: Readonly<Record<string, string>> = {
    POLICY: policy,
    STYLE: style,
    CHARTS: charts,
    SCRIPT: script,
  };
  return template.replaceAll(/POLICY|STYLE|CHARTS|SCRIPT/g, (name) => parts[name] ?? name);
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  const page = await buildPage();
  mkdirSync("dist", { recursive: true });
  writeFileSync("dist/dropwise.html", page);
  process.stdout.write(`dist/dropwise.html: ${Buffer.byteLength(page)} bytes\n`);
}
