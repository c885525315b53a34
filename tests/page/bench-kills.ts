import { mkdtempSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { chromium } from "playwright-core";
import { launchOptions } from "../chromium.ts";
import { pageAddress, phone } from "./deck-page.ts";

/**
 * `npm run bench:kills -- COUNT`: the browser is killed at random moments while readings are entered by
 * the page's own keys. A reading is lost if the page said that it was stored and it is not there
 * when the page is opened again.
 */

const kills = Number(process.argv[2] ?? 20);
const address = await pageAddress();
const folder = mkdtempSync(join(tmpdir(), "deck-kills-"));
const options = { ...(await launchOptions()), viewport: phone, offline: true };
let said = 12;
let lost = 0;
for (let kill = 0; kill <= kills; kill++) {
  const context = await chromium.launchPersistentContext(folder, options);
  const page = await context.newPage();
  await page.goto(address);
  if (kill === 0) await page.getByRole("button", { name: "Look around in a sample pool" }).click();
  await page.locator(".count", { hasText: "in walk" }).waitFor();
  const there = Number(/^\d+/.exec((await page.locator(".count").textContent()) ?? "")?.[0] ?? 0);
  lost += Math.max(0, said - there);
  said = Math.max(said, there);
  if (kill === kills) {
    await context.close();
    break;
  }
  const session = await context.browser()?.newBrowserCDPSession();
  const closed = context.waitForEvent("close");
  const end = Date.now() + 1500 * Math.random();
  setTimeout(
    () => void session?.send("Browser.crash").catch(() => undefined),
    1500 * Math.random(),
  );
  try {
    for (let lane = 1; Date.now() < end + 5000; lane = (lane % 8) + 1) {
      await page
        .getByRole("button", { name: new RegExp(`^Lane ${lane}: `) })
        .click({ timeout: 3000 });
      for (const digit of "498")
        await page.locator(".key", { hasText: digit }).click({ timeout: 3000 });
      const count = await page.locator(".count").textContent({ timeout: 3000 });
      said = Math.max(said, Number(/^\d+/.exec(count ?? "")?.[0] ?? 0));
    }
  } catch {
    // The browser is gone: what it said by then is what counts.
  }
  await closed;
}
process.stdout.write(
  `${kills} kills at random moments, ${said} readings said to be stored: ${lost} lost\n`,
);
