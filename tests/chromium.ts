import { execFile } from "node:child_process";
import { existsSync, readFileSync } from "node:fs";
import { mkdtemp, rename, rm } from "node:fs/promises";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { promisify } from "node:util";
import { type Browser, chromium, type LaunchOptions } from "playwright-core";

const { devDependencies } = JSON.parse(
  readFileSync(new URL("../package.json", import.meta.url), "utf8"),
) as { devDependencies: Readonly<Record<string, string>> };

/** Where the npm package's copy stands once it is unpacked; another version, another folder. */
const unpackedFolder = join(
  tmpdir(),
  `dropwise-chromium-${devDependencies["@sparticuz/chromium"]}`,
);

/** One letter for all machines: how wide it is decides what fits on a line and on a sheet. */
const fonts = fileURLToPath(new URL("fonts.conf", import.meta.url));

/**
 * The copy inside the npm package (Linux x64). It unpacks itself into the folder for temporary
 * files, and takes a half-written copy for a whole one; so each process has it unpacked into a
 * folder of its own, by a process that knows no other, and the first to be done gives it the name
 * that all use.
 */
async function packedChromium(): Promise<string> {
  if (!existsSync(unpackedFolder)) {
    const own = await mkdtemp(`${unpackedFolder}-`);
    // VERCEL makes the package unpack the shared libraries that the browser needs, too.
    const env = { ...process.env, TMPDIR: own, VERCEL: "1" };
    const unpacking = fileURLToPath(new URL("unpack-chromium.ts", import.meta.url));
    await promisify(execFile)(process.execPath, ["--import", "tsx", unpacking], { env });
    // Another process may have been faster: its copy is as good.
    await rename(own, unpackedFolder).catch(() => rm(own, { recursive: true, force: true }));
  }
  return join(unpackedFolder, "chromium");
}

/** A system Chromium if there is one; else the copy inside the npm package, with its libraries. */
async function launchable(): Promise<{ executablePath: string; env: NodeJS.ProcessEnv }> {
  const own = process.env["CHROMIUM_PATH"] ?? "/usr/bin/chromium";
  const same = { ...process.env, FONTCONFIG_FILE: fonts };
  if (existsSync(own)) return { executablePath: own, env: same };
  const executablePath = await packedChromium();
  const libraries = [join(unpackedFolder, "al2023", "lib"), process.env["LD_LIBRARY_PATH"]];
  const env = {
    ...same,
    LD_LIBRARY_PATH: libraries.filter((folder) => folder !== undefined).join(":"),
  };
  return { executablePath, env };
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
export const launchOptions = async (): Promise<LaunchOptions> => ({
  ...(await launchable()),
  args,
  timeout: 150_000,
});

export const launchChromium = async (): Promise<Browser> => chromium.launch(await launchOptions());
