import { expect, test } from "vitest";
import { inLine } from "../../src/words/place-words.ts";
import { devices, emoji, greek, lanes, season, yaml } from "../any-script-pool.ts";
import { violations } from "./axe.ts";
import { deckBrowser } from "./deck-browser.ts";
import {
  enterReading,
  keepPicture,
  openResult,
  openTab,
  phone,
  pickFiles,
  savedBytes,
  settled,
  watchedPage,
} from "./deck-page.ts";

/** The pool of Greek, Cyrillic, Arabic, Chinese and emoji, on every screen of the page. */

const deck = deckBrowser();

test("every screen carries the pool's own names, and the saved sheet has them as they were", async () => {
  const context = await deck.browser.newContext({ viewport: phone, offline: true });
  const { page, errors } = await watchedPage(context);
  await page.goto(deck.address);
  await pickFiles(page, { "pool.yaml": yaml, "readings.csv": season() });
  await page.getByText("readings.csv: 24 readings.").waitFor();
  const shows = async (screen: string, names: readonly string[]): Promise<void> => {
    await settled(page);
    const text = (await page.locator("main").textContent()) ?? "";
    for (const name of names) expect(text).toContain(name);
    expect(await violations(page)).toEqual([]);
    // Nothing is wider than the phone, whichever way a name runs.
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBe(phone.width);
    expect(await keepPicture(page, `scripts-${screen}`, true)).toBeGreaterThan(5000);
  };
  await openTab(page, "Pool");
  await shows("pool", ["Όρμος"]);
  await openTab(page, "Walk");
  await enterReading(page, { lane: inLine(lanes[1]), device: devices[1], point: emoji }, "4.70");
  await shows("walk", [lanes[0]]);
  await openResult(page);
  await shows("result", [lanes[1], "Штекер"]);
  await openTab(page, "Day");
  await page.locator('.day [aria-busy="false"]').waitFor();
  await shows("day", [lanes[0], devices[0]]);
  await openTab(page, "Files");
  await shows("files", ["Όρμος"]);
  const sheet = (await savedBytes(page, "Save readings.csv")).toString();
  for (const name of [...lanes, ...devices, greek, emoji, "заметка 备注"])
    expect(sheet).toContain(name);
  expect(errors).toEqual([]);
  await context.close();
});

// The browser's own Unicode bidirectional algorithm (Unicode Standard Annex 9) says where things are drawn.
test.each([
  ["with the mark", inLine("حارة ٢"), true],
  ["without it, as it must not be", "حارة ٢", false],
])("a number behind a name that runs from right to left, %s", async (_, name, isBehind) => {
  const page = await deck.browser.newPage();
  const places = await page.evaluate((lane) => {
    document.body.textContent = `Lane ${lane} 4.70 V`;
    const text = document.body.firstChild!;
    const leftOf = (piece: string): number => {
      const range = document.createRange();
      const from = text.textContent!.indexOf(piece);
      range.setStart(text, from);
      range.setEnd(text, from + piece.length);
      return range.getBoundingClientRect().left;
    };
    return { name: leftOf("حارة"), number: leftOf("4.70") };
  }, name);
  expect(places.number > places.name).toBe(isBehind);
  await page.close();
});
