import type { Page } from "playwright-core";
import { expect, test } from "vitest";
import { readPool } from "../../src/intake/pool/read-pool.ts";
import { readReadings } from "../../src/intake/read-readings.ts";
import { readTouches } from "../../src/intake/read-touches.ts";
import { countsText } from "../../src/report/lane-words.ts";
import { meetReady } from "../../src/rooms/meet-room.ts";
import { decideSeason } from "../../src/rooms/policy-room.ts";
import { diagnoseSeason, looksOf, openSeason } from "../../src/rooms/season-room.ts";
import { violations } from "./axe.ts";
import { deckBrowser } from "./deck-browser.ts";
import { openTab, phone, pickFiles, savedBytes, watchedPage } from "./deck-page.ts";

/** The deck day on the phone: the commands' own computation, its logs in the commands' own files. */

const deck = deckBrowser();

const worked = (page: Page): Promise<void> => page.locator('.day [aria-busy="false"]').waitFor();

async function day(page: Page): Promise<void> {
  await page.goto(deck.address);
  await page.getByRole("button", { name: "Look around in a sample pool" }).click();
  await page.getByRole("heading", { name: "Done: 2 connectors to see to" }).waitFor();
  await openTab(page, "Day");
  await worked(page);
}

/** Unfolds a part of the day. */
async function open(page: Page, title: string): Promise<void> {
  await page.locator("summary", { hasText: title }).first().click();
}

/** Taps that many times. */
async function tap(page: Page, name: string, times: number): Promise<void> {
  for (let k = 0; k < times; k++) await page.getByRole("button", { name, exact: true }).click();
}

test("presses by thumb, water, parts: stored as the commands' files, judged as the commands judge", async () => {
  const context = await deck.browser.newContext({ viewport: phone, offline: true });
  const { page, errors, requests } = await watchedPage(context);
  await day(page);
  expect(await violations(page)).toEqual([]);
  await open(page, "Press pads and buttons");
  await page.getByLabel("Heat or check").fill("1");
  await page.getByLabel("Where on it").selectOption("left");
  await tap(page, "Missed", 5);
  await page.getByRole("button", { name: "Store these presses" }).click();
  // Before anybody lifts a pad its plug is changed, and it is said into which socket.
  await page.getByText("change its plug to the neighbour's lane first").first().waitFor();
  await page.getByText("The neighbour is lane 2.").waitFor();
  for (const place of ["middle", "right"]) {
    await page.getByLabel("Where on it").selectOption(place);
    await tap(page, "Timer took it", 5);
    await page.getByRole("button", { name: "Store these presses" }).click();
    await page.getByText(`Stored: lane 1 touchpad, ${place}, 5 of 5 presses.`).waitFor();
  }
  await worked(page);
  await page
    .getByText(/dead at one place, left/i)
    .first()
    .waitFor();

  await open(page, "Water and pads");
  await page.getByLabel("Water now").fill("26.5");
  await page.getByRole("button", { name: "Store the water" }).click();
  await page.getByText("No adjustment after a full soak is logged").waitFor();
  await open(page, "Parts and spares");
  await open(page, "A part came, moved or went");
  await page.getByLabel("Tag on the part").fill("P1");
  await page.getByLabel("What it is").fill("plate connector");
  await page.getByRole("button", { name: "It is a spare" }).click();
  await page.getByText("Stored: P1, spare.").waitFor();
  await worked(page);
  await open(page, "The bag");
  await page.getByText("1 in the register").waitFor();

  const verdict = await page.locator(".day .verdict").textContent();
  await openTab(page, "Files");
  const text = async (name: string): Promise<string> =>
    (await savedBytes(page, `Save ${name}`)).toString();
  const made = readPool(await text("pool.yaml"), "pool.yaml");
  if (!made.ok) throw new Error("no pool");
  const pool = made.value;
  const { readings } = readReadings(await text("readings.csv"), pool, "readings.csv");
  const sheet = readTouches(await text("touches.csv"), pool, "touches.csv");
  if (!sheet.ok) throw new Error(sheet.error.message);
  const { touches, rows } = sheet.value;
  expect(rows).toEqual({ in: 3, used: 3, rejected: 0, repeats: 0 });
  expect(await text("pads.csv")).toMatch(/26\.5/);
  expect(await text("parts.csv")).toMatch(/P1,plate connector,spare/);
  const season = openSeason(pool, diagnoseSeason(pool, readings, []), []);
  if (season === null) throw new Error("no walk");
  const date = touches[0]?.takenAt?.day ?? "";
  const looks = looksOf(season);
  const { decisions } = decideSeason(season);
  const given = { pool, date, looks, work: [], touches, pads: null, record: null };
  const ready = meetReady({ ...given, decided: decisions, minutesLeft: null });
  // The pads are due besides, which watches every lane: only that differs from what is given here.
  expect(ready.counts["not ready"]).toBe(3);
  expect(verdict).toContain("3 not ready");
  expect(countsText(ready)).toContain("3 not ready");
  expect([errors, requests]).toEqual([[], []]);
  await context.close();
});

test("ticks outlive a reload; the hand-over and the round are written; all logs go along elsewhere", async () => {
  const context = await deck.browser.newContext({ viewport: phone, offline: true });
  const { page, errors } = await watchedPage(context);
  await day(page);
  await open(page, "Between sessions");
  await page.getByLabel("Write down each lane that missed").check();
  await open(page, "Water and pads");
  await page.getByLabel("Water now").fill("26.5");
  await page.getByRole("button", { name: "Store the water" }).click();
  await page.getByText("No adjustment after a full soak is logged").waitFor();
  await open(page, "The round on paper");
  const round = await savedBytes(page, "Save the sheet to print");
  expect(round.toString()).toContain("round of");
  await open(page, "Hand over to a successor");
  const over = (await savedBytes(page, "Save the hand-over page")).toString();
  expect(over).toContain("Sample pool: hand-over of");
  expect(over).toMatch(/See to: lane 3 plate connector/);
  await page.reload();
  await openTab(page, "Day");
  await page.locator("summary", { hasText: "Between sessions 1 of 5" }).waitFor();
  await openTab(page, "Files");
  const archive = await savedBytes(page, "Save everything in one file");
  await context.close();
  const other = await deck.browser.newContext({ viewport: phone, offline: true });
  const { page: there } = await watchedPage(other);
  await there.goto(deck.address);
  await pickFiles(there, { "all.zip": archive });
  await there.getByText("pads.csv: 1 line in pads.csv.").waitFor();
  await there.getByText("readings.csv: 12 readings.").waitFor();
  await pickFiles(there, { "all.zip": archive });
  await there.getByText("readings.csv was imported before").waitFor();
  await there.getByText("pads.csv: 1 line in pads.csv.").waitFor();
  expect(errors).toEqual([]);
  await other.close();
});

test("a press, the water, a part written wrongly: corrected or struck out by a tap, nothing erased", async () => {
  const context = await deck.browser.newContext({ viewport: phone, offline: true });
  const { page, errors } = await watchedPage(context);
  await day(page);
  await open(page, "Press pads and buttons");
  await tap(page, "Timer took it", 4);
  await page.getByRole("button", { name: "Store these presses" }).click();
  const row = (words: RegExp) => page.locator(".log-list").getByRole("button", { name: words });
  await row(/^Lane 1 touchpad: 4 of 4 registered/).click();
  const dialog = page.locator("dialog[open]");
  expect(await violations(page)).toEqual([]);
  await dialog.getByLabel("Of them registered").fill("5");
  await dialog.getByRole("button", { name: "Correct it" }).click();
  await dialog.getByText(/no more registered than tried/).waitFor();
  await dialog.getByLabel("Presses made").fill("5");
  await dialog.getByRole("button", { name: "Correct it" }).click();
  await row(/^Lane 1 touchpad: 5 of 5 registered/).waitFor();
  // And back again: what was struck once comes as a row of its own.
  await row(/^Lane 1 touchpad: 5 of 5 registered/).click();
  await dialog.getByLabel("Of them registered").fill("4");
  await dialog.getByLabel("Presses made").fill("4");
  await dialog.getByRole("button", { name: "Correct it" }).click();
  await row(/^Lane 1 touchpad: 4 of 4 registered/).waitFor();
  expect(await row(/touchpad/).count()).toBe(1);

  await open(page, "Water and pads");
  await page.getByLabel("Water now").fill("62.5");
  await page.getByRole("button", { name: "Store the water" }).click();
  await page.getByText(/Not stored: /).waitFor();
  await page.getByLabel("Water now").fill("36.5");
  await page.getByRole("button", { name: "Store the water" }).click();
  await row(/^Water 36\.5 °C/).click();
  await dialog.getByLabel("Water, °C").fill("26.5");
  await dialog.getByRole("button", { name: "Correct it" }).click();
  await row(/^Water 26\.5 °C/).waitFor();

  await open(page, "Parts and spares");
  await open(page, "A part came, moved or went");
  await page.getByLabel("Tag on the part").fill("P1");
  await page.getByRole("button", { name: "It is gone" }).click();
  await page.getByText("1 gone.").waitFor();
  await row(/^P1: gone/).click();
  await dialog.getByRole("button", { name: "Strike it out" }).click();
  await page.getByText("No part has a tag yet.").waitFor();
  await worked(page);

  await openTab(page, "Files");
  const kept = async (name: string): Promise<string[]> =>
    (await savedBytes(page, `Save ${name}`)).toString().trimEnd().split("\r\n").slice(1);
  expect(await kept("touches.csv")).toHaveLength(5);
  expect(await kept("pads.csv")).toHaveLength(3);
  expect(await kept("parts.csv")).toEqual([
    expect.stringMatching(/^P1,,gone,.*,$/),
    expect.stringMatching(/^P1,,gone,.*,struck$/),
  ]);
  expect(errors).toEqual([]);
  await context.close();
});

test("an answer that comes late moves nothing from under a finger", async () => {
  const context = await deck.browser.newContext({ viewport: phone, offline: true });
  const { page, errors } = await watchedPage(context);
  await day(page);
  const ask = async (minutes: string): Promise<void> => {
    await page.getByLabel("Minutes left").fill(minutes);
    await page.getByLabel("Minutes left").blur();
    await page.locator('.day [aria-busy="true"]').waitFor();
  };
  await open(page, "So many minutes are left");
  const fold = page.locator("summary", { hasText: "The bag" }).first();
  await fold.scrollIntoViewIfNeeded();
  await page.evaluate(() => {
    const long = document.querySelector(".day > .verdict")!;
    long.textContent = "A verdict of many lines. ".repeat(40);
  });
  await ask("45");
  await fold.click();
  const top = await fold.evaluate((one) => one.getBoundingClientRect().top);
  await worked(page);
  expect(await page.locator(".day > .verdict").textContent()).not.toContain("many lines");
  expect(await fold.evaluate((one) => one.getBoundingClientRect().top)).toBeCloseTo(top, 0);

  await fold.hover();
  await page.mouse.down();
  await page.getByLabel("Minutes left").evaluate((field: HTMLInputElement) => {
    field.value = "44";
    field.dispatchEvent(new Event("change"));
  });
  await page.waitForTimeout(3000);
  expect(await page.locator('.day [aria-busy="true"]').count()).toBe(1);
  await page.mouse.up();
  await worked(page);
  expect(await page.locator("details", { has: fold }).getAttribute("open")).toBeNull();
  expect(errors).toEqual([]);
  await context.close();
});
