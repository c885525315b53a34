import { mkdirSync, mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import type { Browser, BrowserContext, Page } from "playwright-core";
import { buildPage } from "../../src/cli/build-page.ts";

export const phone = { width: 390, height: 844 };
export const desk = { width: 1280, height: 800 };
export const narrow = { width: 320, height: 568 };

/** How long a step may take on a machine that has much else to do [ms]. */
export const patience = Number(process.env["DECK_PATIENCE"] ?? 120_000);

/** Builds the page into a folder of its own, and says under which address it opens there. */
export async function pageAddress(): Promise<string> {
  const folder = mkdtempSync(join(tmpdir(), "deck-page-"));
  const file = join(folder, "dropwise.html");
  writeFileSync(file, (await buildPage()).text);
  return pathToFileURL(file).href;
}

/** Everything that a page did which it should not have done. */
export interface Watch {
  readonly page: Page;
  /** Script errors and refusals of the content security policy. */
  readonly errors: string[];
  /** Requests to anything but the file itself. */
  readonly requests: string[];
}

export async function watchedPage(context: BrowserContext): Promise<Watch> {
  const page = await context.newPage();
  page.setDefaultTimeout(patience);
  const errors: string[] = [];
  const requests: string[] = [];
  page.on("pageerror", (error) => errors.push(error.message));
  page.on("console", (message) => {
    if (message.type() === "error") errors.push(message.text());
  });
  page.on("request", (request) => {
    if (!/^(file|blob|data):/.test(request.url())) requests.push(request.url());
  });
  return { page, errors, requests };
}

/** A page on a phone for which no time passes: a place shown is never exchanged for a better one. */
export async function timelessPage(
  browser: Browser,
  address: string,
): Promise<Watch & { readonly context: BrowserContext }> {
  const context = await browser.newContext({ viewport: phone, offline: true });
  await context.addInitScript(() => {
    performance.now = () => 0;
  });
  const watch = await watchedPage(context);
  await watch.page.goto(address);
  return { ...watch, context };
}

export async function setUpPool(page: Page, name: string, devices = "touchpad"): Promise<void> {
  await page.getByLabel("Name of the pool").fill(name);
  await page.getByLabel("Devices of a lane").fill(devices);
  await page.getByLabel("Load of the meter").fill("1000");
  await page.getByLabel("Switches itself off after, earliest").fill("45");
  await page.getByLabel("Switches itself off after, latest").fill("60");
  await page.getByRole("button", { name: "Set up and start the walk" }).click();
  await page.getByLabel("Volts shown").waitFor();
  await page.locator(".place-point").waitFor();
}

/** One reading at a place of one's own choice: two taps, the value, Enter. */
export async function enterReading(
  page: Page,
  place: { lane: string | number; device: string; point: string },
  volts: string,
): Promise<void> {
  await page.getByRole("button", { name: "Other point" }).click();
  const start = `Lane ${place.lane}, ${place.device}, ${place.point}`;
  await page.locator(`button[aria-label^=${JSON.stringify(start)}]`).click();
  const field = page.getByLabel("Volts shown");
  await field.fill(volts);
  await field.press("Enter");
  await page.waitForFunction(
    () => document.querySelector<HTMLInputElement>("#volts")?.value === "",
  );
}

export const openTab = (page: Page, name: string): Promise<void> =>
  page.getByRole("navigation").getByRole("button", { name, exact: true }).click();

/** Hands files to the page, by name, as one does from the screen of files. */
export async function pickFiles(
  page: Page,
  files: Readonly<Record<string, string | Buffer>>,
): Promise<void> {
  await openTab(page, "Files");
  await page.locator("#picker").setInputFiles(
    Object.entries(files).map(([name, content]) => ({
      name,
      mimeType: name.endsWith(".zip") ? "application/zip" : "text/plain",
      buffer: Buffer.from(content),
    })),
  );
}

/** What the page works out beside its main thread has come: the ranking, the next point. */
export async function settled(page: Page): Promise<void> {
  await page.waitForFunction(() => document.querySelector('main [aria-busy="true"]') === null);
}

/** The result, once its ranking holds all readings. */
export async function openResult(page: Page): Promise<void> {
  await openTab(page, "Result");
  await page.locator('.ranking[aria-busy="false"] > .suspect').first().waitFor();
}

/** Bytes of a file that the page saves on this press. */
export async function savedBytes(page: Page, button: string): Promise<Buffer> {
  const download = page.waitForEvent("download");
  await page.getByRole("button", { name: button, exact: true }).click();
  const stream = await (await download).createReadStream();
  const pieces: Buffer[] = [];
  for await (const piece of stream) pieces.push(piece as Buffer);
  return Buffer.concat(pieces);
}

/** Keeps a picture of what the page shows, for people to look at; its size in bytes. */
export async function keepPicture(page: Page, name: string, fullPage = false): Promise<number> {
  const folder = join(tmpdir(), "dropwise-layouts");
  mkdirSync(folder, { recursive: true });
  const picture = await page.screenshot({ fullPage });
  writeFileSync(join(folder, `${name}.png`), picture);
  return picture.length;
}
