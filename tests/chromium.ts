import { existsSync, readFileSync } from "node:fs";
import { mkdtemp, readFile, rename, rm, writeFile } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { type Browser, chromium } from "playwright-core";

const { devDependencies } = JSON.parse(
  readFileSync(new URL("../package.json", import.meta.url), "utf8"),
) as { devDependencies: Readonly<Record<string, string>> };

/** Where the npm package's copy stands once it is unpacked; another version, another folder. */
const unpackedFolder = join(
  tmpdir(),
  `dropwise-chromium-${devDependencies["@sparticuz/chromium"]}`,
);

/**
 * The copy inside the npm package (Linux x64). It unpacks itself into the folder for temporary
 * files, and takes a half-written copy for a whole one; so each process unpacks into a folder of
 * its own, and the first to be done gives it the name that all use.
 */
async function packedChromium(): Promise<string> {
  const before = process.env["TMPDIR"];
  process.env["VERCEL"] = "1"; // makes the package unpack the shared libraries that it needs, too
  try {
    process.env["TMPDIR"] = unpackedFolder; // where the browser will look for those libraries
    const { default: packed } = await import("@sparticuz/chromium");
    if (!existsSync(unpackedFolder)) {
      const own = await mkdtemp(`${unpackedFolder}-`);
      process.env["TMPDIR"] = own;
      await packed.executablePath();
      const fonts = join(own, "fonts", "fonts.conf");
      const listed = await readFile(fonts, "utf8");
      await writeFile(fonts, listed.replaceAll("/tmp/fonts", join(unpackedFolder, "fonts")));
      // Another process may have been faster: its copy is as good.
      await rename(own, unpackedFolder).catch(() => rm(own, { recursive: true, force: true }));
    }
  } finally {
    if (before === undefined) delete process.env["TMPDIR"];
    else process.env["TMPDIR"] = before;
  }
  return join(unpackedFolder, "chromium");
}

/** A system Chromium if there is one; else the copy inside the npm package. */
async function chromiumPath(): Promise<string> {
  const own = process.env["CHROMIUM_PATH"] ?? "/usr/bin/chromium";
  return existsSync(own) ? own : packedChromium();
}

const args = [
  "--no-sandbox",
  "--disable-gpu",
  "--disable-quic",
  "--no-first-run",
  "--disable-background-networking",
  "--disable-component-update",
  "--disable-sync",
];

/** A loaded machine takes its time to start a browser. */
export const launchOptions = async (): Promise<{
  executablePath: string;
  args: string[];
  timeout: number;
}> => ({
  executablePath: await chromiumPath(),
  args,
  timeout: 150_000,
});

export const launchChromium = async (): Promise<Browser> => chromium.launch(await launchOptions());
