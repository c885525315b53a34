import { existsSync } from "node:fs";
import { type Browser, chromium } from "playwright-core";

/** A system Chromium if there is one; else the copy inside the npm package (Linux x64). */
async function chromiumPath(): Promise<string> {
  const own = process.env["CHROMIUM_PATH"] ?? "/usr/bin/chromium";
  if (existsSync(own)) return own;
  process.env["VERCEL"] = "1"; // makes the package unpack the shared libraries that it needs, too
  const { default: packed } = await import("@sparticuz/chromium");
  return packed.executablePath();
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

export const launchOptions = async (): Promise<{ executablePath: string; args: string[] }> => ({
  executablePath: await chromiumPath(),
  args,
});

export const launchChromium = async (): Promise<Browser> => chromium.launch(await launchOptions());
