import { mkdtempSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { chromium, type Page } from "playwright-core";
import { launchOptions } from "../chromium.ts";
import { pageAddress, phone } from "./deck-page.ts";

/**
 * `npm run bench:kills -- COUNT`: the browser is killed at random moments while readings are entered in two
 * tabs by the page's own keys. A reading is lost if a tab said that it was stored and it is not there when
 * the page is opened again.
 */

/** A tab has this long to enter something before it is killed, at most [ms]. */
const longest = 3000;
const kills = Number(process.argv[2] ?? 20);
const address = await pageAddress();
const folder = mkdtempSync(join(tmpdir(), "deck-kills-"));
const options = { ...(await launchOptions()), viewport: phone, offline: true };

const countOf = async (page: Page, timeout = 60_000): Promise<number> => {
  const count = page.locator(".count", { hasText: "in walk" });
  return Number(/^\d+/.exec((await count.textContent({ timeout })) ?? "")?.[0] ?? 0);
};

let said = 12;
let lost = 0;

/** Enters one reading after another, until the browser is gone. */
async function enter(page: Page, first: number): Promise<void> {
  try {
    for (let lane = first; ; lane = (lane % 8) + 1) {
      const strip = page.getByRole("button", { name: new RegExp(`^Lane ${lane}: `) });
      await strip.click({ timeout: longest });
      for (const digit of "498")
        await page.locator(".key", { hasText: digit }).click({ timeout: longest });
      said = Math.max(said, await countOf(page, longest));
    }
  } catch {
    // The browser is gone: what it said by then is what counts.
  }
}

for (let kill = 0; kill <= kills; kill++) {
  const context = await chromium.launchPersistentContext(folder, options);
  const pages = [await context.newPage(), await context.newPage()];
  for (const page of pages) await page.goto(address);
  const [one, two] = pages as [Page, Page];
  if (kill === 0) {
    await one.getByRole("button", { name: "Look around in a sample pool" }).click();
    await countOf(one);
    await two.reload();
  }
  const there = Math.min(await countOf(one), await countOf(two));
  lost += Math.max(0, said - there);
  said = Math.max(said, there);
  if (kill === kills) {
    await context.close();
    break;
  }
  const session = await context.browser()?.newBrowserCDPSession();
  const closed = context.waitForEvent("close");
  setTimeout(
    () => void session?.send("Browser.crash").catch(() => undefined),
    longest * Math.random(),
  );
  await Promise.all([enter(one, 1), enter(two, 5)]);
  await closed;
}
process.stdout.write(
  `${kills} kills at random moments, two tabs, ${said - 12} readings said to be stored: ${lost} lost\n`,
);
