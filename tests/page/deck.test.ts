import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import type { Page } from "playwright-core";
import { describe, expect, test } from "vitest";
import { violations } from "./axe.ts";
import { deckBrowser } from "./deck-browser.ts";
import {
  desk,
  enterReading,
  narrow,
  openResult,
  openTab,
  phone,
  pickFiles,
  settled,
  setUpPool,
  watchedPage,
} from "./deck-page.ts";

/**
 * Made for a wet deck: what axe-core finds, contrast of 7 to 1 (WCAG 2.2, 1.4.6), targets of 48 px
 * (above the 44 px of 2.5.5, which a lane of the strip is wide at least: eight stand beside each other), no sideways scrolling at 320 px (1.4.10), and names that stay names.
 */

const deck = deckBrowser();

/** Everything that is pressed, with the smaller side of its box. */
const smallTargets = (page: Page): Promise<readonly string[]> =>
  page.evaluate(() =>
    [...document.querySelectorAll("button, select, input, textarea, summary, a")]
      .map((node) => ({
        ...{ node, box: node.getBoundingClientRect() },
        least: node.closest(".strip") === null ? 48 : 44,
      }))
      .filter(({ box, least }) => box.width > 0 && (box.width < least || box.height < 48))
      .map(({ node, box }) => `${node.outerHTML.slice(0, 80)} ${box.width} x ${box.height}`),
  );

const sideways = (page: Page): Promise<number> =>
  page.evaluate(() => document.documentElement.scrollWidth - window.innerWidth);

/** Visits every screen with something on it. */
async function visit(page: Page, look: (where: string) => Promise<void>): Promise<void> {
  await look("first set-up");
  await setUpPool(page, "Kestrel Bay", "touchpad, button-1");
  await look("walk, empty");
  await enterReading(page, { lane: 1, device: "touchpad", point: "pod" }, "4.60");
  await enterReading(page, { lane: 1, device: "touchpad", point: "plate" }, "4.97");
  await enterReading(page, { lane: 2, device: "button-1", point: "pod" }, "4.97");
  await page.getByRole("button", { name: /^Meter / }).click();
  await page.getByLabel("Volts shown").fill("49l");
  await page.getByLabel("Volts shown").press("Enter");
  await page.locator("#volts-wrong:not(:empty)").waitFor();
  for (const summary of await page.locator("main details > summary").all()) await summary.click();
  await look("walk, a wrong value, everything open");
  await page.locator(".entry-row").first().click();
  await look("one reading, to correct or strike out");
  await page.getByRole("button", { name: "Close" }).click();
  await page.getByRole("button", { name: "Other point" }).click();
  await look("other point");
  await page.getByRole("button", { name: "Close" }).click();
  await openResult(page);
  for (const summary of await page.locator("details.suspect > summary").all())
    await summary.click();
  for (const summary of await page.locator(".done summary").all()) await summary.click();
  await look("result, everything open");
  await page
    .getByRole("button", { name: /^cleaned: / })
    .first()
    .click();
  await page.locator(".outcome.open").waitFor();
  await look("walk, what was cleaned to be read again");
  await openTab(page, "Result");
  await page.getByRole("button", { name: "Take that line back" }).waitFor();
  await look("result, work logged");
  await openTab(page, "Files");
  await page.getByLabel("Paste rows, the header row first").fill("lane,point,volts\n99,pod,4.8\n");
  await page.getByRole("button", { name: "Take pasted rows" }).click();
  await page.getByText("1 row could not be used", { exact: true }).waitFor();
  await page.getByText("Licences of the code in this page").click();
  await page.getByText("Mike Bostock").waitFor();
  await look("files");
  await openTab(page, "Pool");
  for (const summary of await page.locator("main details > summary").all()) await summary.click();
  await look("pool");
}

describe.each([
  ["phone", phone],
  ["320 px", narrow],
  ["desk", desk],
] as const)("%s", (_name, viewport) => {
  test("axe finds nothing, targets are 48 px, nothing scrolls sideways, on every screen", async () => {
    const context = await deck.browser.newContext({ viewport, offline: true });
    const { page, errors } = await watchedPage(context);
    await page.goto(deck.address);
    let looked = 0;
    await visit(page, async (where) => {
      looked += 1;
      await settled(page);
      expect({ where, found: await violations(page) }).toEqual({ where, found: [] });
      expect({ where, small: await smallTargets(page) }).toEqual({ where, small: [] });
      expect({ where, sideways: await sideways(page) }).toEqual({ where, sideways: 0 });
    });
    expect(looked).toBe(10);
    expect(errors).toEqual([]);
    await context.close();
  });
});

test("the whole walk goes by keyboard", async () => {
  const context = await deck.browser.newContext({ viewport: desk, offline: true });
  const { page } = await watchedPage(context);
  await page.goto(deck.address);
  await page.getByLabel("Name of the pool").focus();
  await page.keyboard.type("Kestrel Bay");
  await page.getByLabel("Load of the meter").focus();
  await page.keyboard.type("1000");
  await page.keyboard.press("Enter");
  await page.getByLabel("Volts shown").waitFor();
  expect(await page.evaluate(() => document.activeElement?.id)).toBe("volts");
  await page.locator(".place-point").waitFor();
  await page.keyboard.type("4.96");
  await page.keyboard.press("Enter");
  await page.getByText("1 reading in walk").waitFor();
  expect(await page.evaluate(() => document.activeElement?.id)).toBe("volts");
  await context.close();
});

test("a lane named like an attack stays a name, on every screen and in the report", async () => {
  const hostile = '<img src=x onerror="document.title=1">';
  const context = await deck.browser.newContext({ viewport: phone, offline: true });
  const { page, errors } = await watchedPage(context);
  await page.goto(deck.address);
  const yaml = `pool: '<script>document.title=1</script>'\nlanes: [1, '${hostile}']\ndevices: ['touch<b>pad']\nsupply: { source_ohms: 0 }\nmeters: [{ name: deck, load_ohms: 1000 }]\n`;
  const rows = `lane,device,point,volts,note\n"${hostile.replaceAll('"', '""')}",touch<b>pad,pod,4.2,<svg onload=alert(1)>\nnowhere${hostile.replaceAll('"', "'")},touch<b>pad,pod,4.2,\n`;
  await pickFiles(page, { "pool.yaml": yaml, "<i>rows</i>.csv": rows });
  await page.getByText("1 row could not be used", { exact: true }).waitFor();
  await openTab(page, "Walk");
  await page.getByRole("button", { name: "Other point" }).click();
  await page
    .getByRole("heading", { name: `Lane ${hostile}` })
    .first()
    .waitFor();
  await page.getByRole("button", { name: "Close" }).click();
  await openResult(page);
  for (const summary of await page.locator("details.suspect > summary").all())
    await summary.click();
  expect(await page.locator("body img, main script, main b, main i").count()).toBe(0);
  expect(await page.getByText(hostile).count()).toBeGreaterThan(0);
  expect(await page.title()).toBe("Dropwise: the deck page");
  expect(errors).toEqual([]);
  await context.close();
});

test("one file under 1 MB, a policy that allows its own scripts alone, no handlers in markup", () => {
  const text = readFileSync(fileURLToPath(deck.address), "utf8");
  expect(Buffer.byteLength(text)).toBeLessThan(1_000_000);
  const policy = /http-equiv="Content-Security-Policy" content="([^"]*)"/.exec(text)?.[1] ?? "";
  expect(policy).toContain("default-src 'none'");
  expect(policy).not.toMatch(/unsafe|https?:|\*/);
  const markup = text.replaceAll(/<(script|style)\b[^>]*>[\s\S]*?<\/\1>/g, "");
  expect(markup).toContain("<body>");
  expect(markup).not.toMatch(/\son\w+\s*=|\ssrc\s*=|\shref\s*=|\sstyle\s*=/i);
});
