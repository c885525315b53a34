import type { Page } from "playwright-core";
import { expect, test } from "vitest";
import { SlotKeeper, type ToldBefore } from "../../src/page/told-before.ts";
import type { Question } from "../../src/rooms/season-room.ts";
import { deckBrowser } from "./deck-browser.ts";
import { openTab, patience, phone, pickFiles, watchedPage } from "./deck-page.ts";

const walk = (name: string, pool: unknown, ...more: readonly unknown[]): Question => ({
  what: "walk",
  walk: name,
  from: [pool, ...more],
});

test("the last answer about each walk is known, to the same pool file and build alone", () => {
  const first = new SlotKeeper("one", "a", []);
  const [pool, other] = [{ limit: 4.8 }, { limit: 4.7 }];
  const monday = walk("monday", pool, [4.9], false, null);
  const started = walk("monday", pool, [4.9], false, { from: "sunday" });
  first.keep(monday, "sound");
  first.keep(started, "weak");
  first.keep(walk("friday", pool, [4.2], false, null), "low");
  const later = (build = "one", known: readonly ToldBefore[] = first.found): SlotKeeper =>
    new SlotKeeper(build, "b", known);
  expect(later().known(monday)).toBe("sound");
  expect(later().known(started)).toBe("weak");
  expect(later().known(walk("monday", pool, [4.8], false, null))).toBeUndefined();
  expect(later("two").known(monday)).toBeUndefined();
  const moved = later();
  expect(moved.known(walk("monday", other, [4.9], false, null))).toBeUndefined();
  moved.keep(walk("friday", other, [4.2], false, null), "another");
  const both = [...first.found, ...moved.found];
  // Answers of the pool file before stay where they are, and belong to nobody.
  expect(later("one", both).known(walk("monday", other, [4.9], false, null))).toBeUndefined();
  expect(later("one", both).known(walk("friday", other, [4.2], false, null))).toBe("another");
});

const deck = deckBrowser();

/** Every answer that this page keeps, by its slot. */
const slotsOf = (page: Page) => (): Promise<readonly string[]> =>
  page.evaluate(
    () =>
      new Promise<string[]>((done, fail) => {
        const request = indexedDB.open("dropwise-answers", 1);
        request.onupgradeneeded = () =>
          request.result.createObjectStore("answers", { keyPath: ["pool", "slot"] });
        request.onerror = () => fail(request.error);
        request.onsuccess = () => {
          const keys = request.result.transaction("answers").objectStore("answers").getAllKeys();
          keys.onsuccess = () => {
            request.result.close();
            done((keys.result as string[][]).map((key) => key[1]!));
          };
        };
      }),
  );

test("earlier walks that are brought in are read before anybody asks, and the courses of the last", async () => {
  const context = await deck.browser.newContext({ viewport: phone, offline: true });
  const { page, errors } = await watchedPage(context);
  await page.goto(deck.address);
  const yaml = "pool: Kestrel Bay\nmodel: plain\nlanes: 2\ndevices: [touchpad]\n";
  const days = Array.from(
    { length: 8 },
    (_, week) => `2026-0${3 + (week >> 2)}-${10 + (week % 4) * 5}`,
  );
  const rows = days.flatMap((day, week) =>
    [1, 2].map((lane) => {
      const volts = lane === 2 && week === 7 ? "4.50" : "4.98";
      return `${lane},touchpad,pod,${volts},${day}T08:0${lane}:00`;
    }),
  );
  const sheet = `lane,device,point,volts,taken_at\n${rows.join("\n")}\n`;
  await pickFiles(page, { "pool.yaml": yaml, "readings.csv": sheet });
  await page.getByText("readings.csv: 16 readings.").waitFor();
  const slots = slotsOf(page);
  await expect.poll(slots, { timeout: patience }).toContain("decisions  ");
  const kept = await slots();
  for (const day of days) expect(kept).toContain(`walk  ${day}`);
  // What is pressed then finds all of it known.
  await openTab(page, "Result");
  await page.getByRole("button", { name: "Work out: clean or replace" }).click();
  await page.getByText("Done: open a suspect").waitFor();
  expect(await slots()).toEqual(kept);
  expect(errors).toEqual([]);
  await context.close();
});

test("a day looked at again says the same, and a pool that goes takes its answers along", async () => {
  const context = await deck.browser.newContext({ viewport: phone, offline: true });
  const { page, errors } = await watchedPage(context);
  const slots = slotsOf(page);
  const day = async (): Promise<string | null> => {
    await openTab(page, "Day");
    await page.locator('.day [aria-busy="false"]').waitFor();
    return page.locator(".day").textContent();
  };
  await page.goto(deck.address);
  await page.getByRole("button", { name: "Look around in a sample pool" }).click();
  await page.getByRole("heading", { name: "Done: 2 connectors to see to" }).waitFor();
  const first = await day();
  await expect.poll(slots, { timeout: patience }).toContain("decisions  ");
  const kept = await slots();
  expect(kept.filter((slot) => slot.startsWith("walk "))).toHaveLength(1);
  await page.reload();
  expect(await day()).toBe(first);
  expect(await slots()).toEqual(kept);
  await openTab(page, "Pool");
  await page.getByText("Remove Sample pool from this phone").click();
  await page.getByRole("button", { name: "Remove Sample pool now" }).click();
  await expect.poll(slots, { timeout: patience }).toEqual([]);
  expect(errors).toEqual([]);
  await context.close();
});
