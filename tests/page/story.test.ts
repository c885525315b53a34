import { mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import type { Page } from "playwright-core";
import { describe, expect, test } from "vitest";
import { registerNext } from "../../src/cli/next.ts";
import { readPool } from "../../src/intake/pool/read-pool.ts";
import { readWorkLog } from "../../src/intake/read-work-log.ts";
import type { NextAdvice } from "../../src/rooms/diagnosis-room.ts";
import { runCommand } from "../cli/run-command.ts";
import { violations } from "./axe.ts";
import { deckBrowser } from "./deck-browser.ts";
import {
  keepPicture,
  openTab,
  phone,
  pickFiles,
  savedBytes,
  settled,
  setUpPool,
  timelessPage,
  watchedPage,
} from "./deck-page.ts";
import { cureBoth, firstWalk } from "./faulty-pool.ts";

/** From the first screen to "fixed", by the page's own keys alone. */

const deck = deckBrowser();

/** Taps on the keypad, one for each digit. */
async function tap(page: Page, digits: string): Promise<void> {
  for (const digit of digits)
    await page
      .getByRole("group", { name: "Keypad" })
      .getByRole("button", { name: digit, exact: true })
      .click();
}

const place = (page: Page): Promise<string> =>
  page.locator(".place-words").evaluate((node) => node.textContent ?? "");

async function sample(page: Page): Promise<void> {
  await page.goto(deck.address);
  await page.getByRole("button", { name: "Look around in a sample pool" }).click();
  await page.getByRole("heading", { name: "Done: 2 connectors to see to" }).waitFor();
}

test("two bad connectors, cleaned and read again: one is fixed, one is replaced and then fixed, the log has it all", async () => {
  const context = await deck.browser.newContext({ viewport: phone, offline: true });
  const { page, errors } = await watchedPage(context);
  await sample(page);
  // In walking order, whatever is likelier.
  expect(await page.locator(".done-list li").allTextContents()).toEqual([
    expect.stringMatching(/^Lane 3 plate connector/),
    expect.stringMatching(/^Lane 6 touchpad pod terminals/),
  ]);
  await page.getByRole("button", { name: "See to them, one by one" }).click();
  const cards = page.locator("details.suspect");
  await cards.first().locator("> summary").click();
  await cards.first().getByText("Clean a plate’s terminals").click();
  expect(await cards.first().locator(".ends").first().textContent()).toMatch(
    /The plate reads (4\.9|5\.0)\d\sV, and it stays there when the plug is moved/,
  );
  expect(await cards.first().locator(".steps > li").count()).toBeLessThanOrEqual(7);
  await page.getByRole("button", { name: /^cleaned: lane 3 plate/ }).click();
  // Only what was touched is asked for.
  await page.locator(".outcome.open").waitFor();
  expect(await place(page)).toContain("Lane 3 · touchpad");
  await tap(page, "498");
  await page.locator(".outcome.fixed").waitFor();
  const fixed = page.locator(".outcome.fixed");
  expect(await fixed.textContent()).toMatch(
    /^Fixed: lane 3 plate\. Lane 3 touchpad reads 4\.98\sV/,
  );

  await page.getByRole("button", { name: "Next: lane 6 touchpad pod terminals" }).click();
  // The first walk's result knows what has come of it since.
  await page.getByText("1 connector still to see to: lane 6 touchpad pod terminals.").waitFor();
  expect(await page.locator(".ranking .outcome").allTextContents()).toEqual([
    expect.stringMatching(/^Fixed: lane 3 plate/),
  ]);
  await page.locator("details.suspect > summary", { hasText: "Lane 6 touchpad pod" }).click();
  await page.getByRole("button", { name: /^cleaned: lane 6/ }).click();
  await page.locator(".outcome.open").waitFor();
  expect(await place(page)).toContain("Lane 6 · touchpad");
  await tap(page, "446");
  await page.locator(".outcome.weak").waitFor();
  expect(await page.locator(".outcome.weak").textContent()).toMatch(
    /Still weak: lane 6.*Replace it/,
  );
  await page.getByRole("button", { name: "See to it" }).click();
  const sixth = page.locator("details.suspect", { hasText: "Lane 6 touchpad pod" }).first();
  if (!(await sixth.evaluate((node) => (node as HTMLDetailsElement).open)))
    await sixth.locator("> summary").click();
  // What was cleaned in vain is replaced: the card says how.
  await sixth.getByText("Put a new plug on a cord").waitFor();
  await sixth.getByRole("button", { name: /^replaced: lane 6/ }).click();
  await page.locator(".outcome.open").waitFor();
  await tap(page, "497");
  // It is a walk of its own by now; what was fixed in the one before stays fixed.
  await page.getByRole("heading", { name: "Done: all that was read again is sound" }).waitFor();
  expect(await page.locator(".walk .outcome").allTextContents()).toEqual([
    expect.stringMatching(/^Fixed: lane 3 plate\./),
    expect.stringMatching(/^Fixed: lane 6 touchpad pod\./),
  ]);

  await openTab(page, "Files");
  const made = readPool((await savedBytes(page, "Save pool.yaml")).toString(), "pool.yaml");
  if (!made.ok) throw new Error("the sample pool's file is none");
  const log = readWorkLog(
    (await savedBytes(page, "Save work.csv")).toString(),
    made.value,
    "work.csv",
  );
  expect(log.entries.map(({ lane, point, action }) => [lane, point, action])).toEqual([
    [3, "plate", "cleaned"],
    [6, "pod", "cleaned"],
    [6, "pod", "replaced"],
  ]);
  expect(errors).toEqual([]);
  await context.close();
});

test("a first walk ends at the two connectors that are bad, in 12 readings; two more see them cured", async () => {
  const context = await deck.browser.newContext({ viewport: phone, offline: true });
  const { page, errors } = await watchedPage(context);
  await page.goto(deck.address);
  await setUpPool(page, "Kestrel Bay");
  const walk = await firstWalk(page);
  expect(walk.end).toEqual([
    expect.stringMatching(/^Lane 3 plate connector/),
    expect.stringMatching(/^Lane 6 touchpad pod terminals/),
  ]);
  expect(walk.readings).toBeLessThanOrEqual(12);
  expect(walk.taps).toBeLessThanOrEqual(40);
  const cures = await cureBoth(page);
  expect(cures.end).toEqual([
    expect.stringMatching(/^Fixed: lane 3 plate\./),
    expect.stringMatching(/^Fixed: lane 6 touchpad pod\./),
  ]);
  expect(cures.readings).toBeLessThanOrEqual(4);
  expect(errors).toEqual([]);
  await context.close();
});

test("what is read next, and when it is enough, is what the command says of the same walk", async () => {
  const { context, page, errors } = await timelessPage(deck.browser, deck.address);
  await setUpPool(page, "Kestrel Bay");
  await firstWalk(page);
  await openTab(page, "Files");
  const folder = mkdtempSync(join(tmpdir(), "deck-next-"));
  const [poolFile, sheet] = [join(folder, "pool.yaml"), join(folder, "readings.csv")];
  writeFileSync(poolFile, await savedBytes(page, "Save pool.yaml"));
  const rows = (await savedBytes(page, "Save readings.csv")).toString().trimEnd().split("\r\n");
  const taken = rows.slice(1).map((row) => row.split(","));
  for (let k = 1; k <= taken.length; k++) {
    writeFileSync(sheet, `${rows.slice(0, k + 1).join("\r\n")}\r\n`);
    const { out } = await runCommand([registerNext], ["next", "--json", "--pool", poolFile, sheet]);
    const { readings, stop } = JSON.parse(out) as NextAdvice;
    const [best] = readings;
    const asked = best && [`${best.lane}`, best.device, best.point];
    const next = taken[k];
    expect({ k, asked, stop }).toEqual({
      k,
      asked: next && [next[1], next[2], next[4]],
      stop: next === undefined ? "all-settled" : null,
    });
  }
  expect(errors).toEqual([]);
  await context.close();
});

test("a walk ends though a lane can't be reached, a reload between, and says which", async () => {
  const context = await deck.browser.newContext({ viewport: phone, offline: true });
  const { page, errors } = await watchedPage(context);
  await page.goto(deck.address);
  await page.getByLabel("Lanes").fill("2");
  await setUpPool(page, "Kestrel Bay");
  await tap(page, "498");
  await page.getByText("1 reading in walk").waitFor();
  // Every place of the other lane that is asked for.
  const done = page.locator(".done-head");
  const asked = page.locator('.walk:not(.over) .where[aria-busy="false"]');
  const leftOut: string[] = [];
  for (;;) {
    await done.or(asked).first().waitFor();
    if (await done.isVisible()) break;
    const now = await place(page);
    expect(now).toContain("Lane 2 · touchpad");
    expect(leftOut).not.toContain(now);
    leftOut.push(now);
    await page.getByRole("button", { name: "Can’t reach" }).click();
    // What can't be reached stays so over a reload.
    await page.reload();
  }
  expect(leftOut.length).toBeGreaterThan(0);
  expect(await page.locator(".done-card").textContent()).toContain(
    "Not reached: lane 2 touchpad pod",
  );
  expect(errors).toEqual([]);
  await context.close();
});

test("a value is three taps; a slip is one tap to mend; undo and redo say what they touch", async () => {
  const context = await deck.browser.newContext({ viewport: phone, offline: true });
  const { page, errors } = await watchedPage(context);
  await sample(page);
  // The end of a walk keeps nobody from reading on.
  await page.getByRole("button", { name: "Other point" }).click();
  await page.getByRole("button", { name: /^Lane 1, touchpad, pod/ }).click();
  await tap(page, "948");
  await page.getByRole("button", { name: "4.98 V", exact: true }).click();
  const last = page.locator(".last-words");
  await last.filter({ hasText: "4.98 V lane 1 touchpad pod" }).waitFor();
  await page.getByRole("button", { name: /^Undo 4\.98: 4\.98 V, lane 1 touchpad pod/ }).click();
  await page.getByRole("button", { name: /^Redo 4\.98: 4\.98 V, lane 1 touchpad pod/ }).click();
  await page.getByRole("button", { name: /^Undo 4\.98/ }).waitFor();
  // A tap on any entry corrects it.
  await page.locator(".entry-row").first().click();
  await page.getByLabel("The meter showed").fill("4,89");
  await page.getByRole("button", { name: "Correct it" }).click();
  await page.locator(".entry-row").first().filter({ hasText: "4.89" }).waitFor();
  await page
    .getByRole("button", { name: "Undo 4.89: 4.98 to 4.89 V, lane 1 touchpad pod" })
    .waitFor();

  // A point that was chosen and half a value outlive a reload.
  await page.getByRole("button", { name: "Other point" }).click();
  await page.getByRole("button", { name: /^Lane 5, touchpad, harness/ }).click();
  await tap(page, "49");
  await page.reload();
  await page.locator(".place-words", { hasText: "Lane 5 · touchpad" }).waitFor();
  expect(await page.getByLabel("Volts shown").inputValue()).toBe("49");
  await tap(page, "8");
  await last.filter({ hasText: "lane 5 touchpad harness" }).waitFor();
  expect(errors).toEqual([]);
  await context.close();
});

test("two tabs: each undoes its own, neither loses what the other stored", async () => {
  const context = await deck.browser.newContext({ viewport: phone, offline: true });
  const { page: one } = await watchedPage(context);
  await sample(one);
  const { page: two } = await watchedPage(context);
  await two.goto(deck.address);
  await two.locator(".strip").waitFor();
  const enter = async (page: Page, lane: number, value: string): Promise<void> => {
    await page.getByRole("button", { name: new RegExp(`^Lane ${lane}: `) }).click();
    await tap(page, value);
    await page.locator(".last-words", { hasText: `lane ${lane} ` }).waitFor();
  };
  await enter(one, 1, "491");
  await enter(two, 2, "492");
  await enter(one, 4, "494");
  await two.getByRole("button", { name: /^Undo 4\.92/ }).click();
  await two.getByRole("button", { name: /^Redo 4\.92/ }).waitFor();
  await one.reload();
  await openTab(one, "Files");
  const rows = (await savedBytes(one, "Save readings.csv")).toString().split("\r\n");
  const of = (volts: string): readonly string[] => rows.filter((row) => row.includes(`,${volts},`));
  expect([of("4.91").length, of("4.92").length, of("4.94").length]).toEqual([1, 2, 1]);
  expect(of("4.92")[1]).toContain(",struck,");
  await context.close();
});

test("everything in one file restores the page elsewhere, and taken again changes nothing", async () => {
  const context = await deck.browser.newContext({ viewport: phone, offline: true });
  const { page } = await watchedPage(context);
  await sample(page);
  await openTab(page, "Files");
  const archive = await savedBytes(page, "Save everything in one file");
  const ledger = await savedBytes(page, "Save readings.csv");
  await context.close();

  const other = await deck.browser.newContext({ viewport: phone, offline: true });
  const { page: there, errors } = await watchedPage(other);
  await there.goto(deck.address);
  const pick = () => pickFiles(there, { "all.zip": archive });
  await pick();
  await there.getByText("readings.csv: 12 readings.").waitFor();
  expect((await savedBytes(there, "Save readings.csv")).equals(ledger)).toBe(true);
  await pick();
  await there.getByText("readings.csv was imported before").waitFor();
  await openTab(there, "Walk");
  await there.getByText("12 readings in walk").waitFor();
  await openTab(there, "Files");
  await there.getByText("Remove a sheet that was brought in").click();
  await there.getByRole("button", { name: "Remove readings.csv" }).click();
  await there.getByText("readings.csv is removed").waitFor();
  expect(errors).toEqual([]);
  await other.close();
});

test("what is saved fits the phone that it was saved on", async () => {
  const small = { viewport: { width: 360, height: 640 }, isMobile: true, hasTouch: true };
  const context = await deck.browser.newContext({ ...small, offline: true });
  const { page } = await watchedPage(context);
  await sample(page);
  const saved: Buffer[] = [];
  await openTab(page, "Files");
  for (const button of ["Save the report (HTML)", "Save the sheet for the referee"])
    saved.push(await savedBytes(page, button));
  saved.push(await savedBytes(page, "Save the memo (HTML)"));
  await openTab(page, "Day");
  await page.locator('.day [aria-busy="false"]').first().waitFor({ state: "attached" });
  for (const [part, button] of [
    ["Hand over to a successor", "Save the hand-over page"],
    ["The round on paper", "Save the sheet to print"],
    ["How each act is done", "Save the cards to print"],
  ] as const) {
    await page.locator("details > summary", { hasText: part }).click();
    saved.push(await savedBytes(page, button));
  }
  const folder = mkdtempSync(join(tmpdir(), "deck-saved-"));
  for (const [at, bytes] of saved.entries()) {
    const file = join(folder, `${at}.html`);
    writeFileSync(file, bytes);
    const shown = await context.newPage();
    await shown.goto(pathToFileURL(file).href);
    const [title, width] = await shown.evaluate(
      () => [document.title, document.documentElement.scrollWidth] as const,
    );
    expect({ title, fits: width <= 360 ? "fits" : width }).toEqual({ title, fits: "fits" });
  }
  await context.close();
});

test("a meter that would see nothing is stopped before the walk", async () => {
  const context = await deck.browser.newContext({ viewport: phone, offline: true });
  const { page } = await watchedPage(context);
  await page.goto(deck.address);
  await page.getByLabel("Name of the pool").fill("Kestrel Bay");
  await page.getByLabel("What kind of meter is it?").selectOption("multimeter");
  expect(await page.getByLabel("Load of the meter").inputValue()).toBe("10000000");
  await page.getByRole("button", { name: "Set up and start the walk" }).click();
  await page.getByText("This meter draws too little current").waitFor();
  await page.getByLabel("What kind of meter is it?").selectOption("resistor");
  await page.getByLabel("Load of the meter").fill("1000");
  await page.getByRole("button", { name: "Set up and start the walk" }).click();
  await page.locator(".place-point").waitFor();
  await context.close();
});

/** Layouts: what must be in sight without scrolling, and a picture of each to look at. */
describe.each([
  ["tall", { width: 390, height: 844 }, {}, 1],
  ["small", { width: 360, height: 640 }, {}, 1],
  ["landscape", { width: 844, height: 390 }, {}, 1],
  ["small-landscape", { width: 640, height: 360 }, {}, 1],
  ["night", { width: 390, height: 844 }, { colorScheme: "dark" }, 1],
  ["contrast", { width: 390, height: 844 }, { contrast: "more" }, 1],
  ["forced", { width: 390, height: 844 }, { forcedColors: "active" }, 1],
  ["large-text", { width: 390, height: 844 }, {}, 2],
] as const)("%s", (name, viewport, media, text) => {
  test("whatever the page says, place, value and keys stand still in sight, and ten lanes are seen at once", async () => {
    const context = await deck.browser.newContext({ viewport, offline: true, ...media });
    const { page } = await watchedPage(context);
    await page.goto(deck.address);
    await page.getByLabel("Lanes").fill("10");
    await setUpPool(page, "Kestrel Bay", "touchpad, button-1");
    await page.evaluate((size) => {
      document.documentElement.style.fontSize = `${100 * size}%`;
    }, text);
    const keysFrom = new Set<number>();
    const look = async (state: string): Promise<void> => {
      await settled(page);
      await page.evaluate(() => window.scrollTo(0, 0));
      expect(await keepPicture(page, `${name}-${state}`)).toBeGreaterThan(5000);
      expect(await violations(page)).toEqual([]);
      const seen = await page.evaluate(seenThere);
      keysFrom.add(Math.round(seen.keysFrom));
      expect({ state, sideways: seen.sideways }).toEqual({ state, sideways: 0 });
      expect({ state, lanes: seen.lanes }).toEqual({ state, lanes: 10 });
      expect({ state, hidden: seen.hidden }).toEqual({ state, hidden: [] });
    };
    await look("empty");
    await tap(page, "446");
    await page.getByText("should read").waitFor();
    await look("odd-value");
    await tap(page, "949");
    await page.getByText("Did you mean").waitFor();
    await look("wrong-value");
    await page.getByRole("button", { name: "4.99 V", exact: true }).click();
    await page.locator(".last-words", { hasText: "4.99 V" }).waitFor();
    await tap(page, "000");
    await page.getByRole("button", { name: "It is blank" }).waitFor();
    await look("zero");
    expect([...keysFrom]).toHaveLength(1);
    if (viewport.height > 400 && text === 1)
      expect([...keysFrom][0]).toBeGreaterThanOrEqual(viewport.height / 2 - 40);
    await context.close();
  });
});

/** In the page: what of the capture loop is cut off, and where the keys begin. */
function seenThere() {
  const bottom = document.querySelector("nav")?.getBoundingClientRect().top ?? 0;
  const hidden = [...document.querySelectorAll(".place-point, #volts, .key, .last *, .wrong *")]
    .map((node) => ({ node, box: node.getBoundingClientRect() }))
    .filter(({ box }) => box.width > 0 && (box.top < 0 || box.bottom > bottom + 1));
  return {
    hidden: hidden.map(({ node }) => node.textContent),
    lanes: [...document.querySelectorAll(".lane")].filter((node) => {
      const { left, right } = node.getBoundingClientRect();
      return left >= -1 && right <= window.innerWidth + 1;
    }).length,
    sideways: document.documentElement.scrollWidth - window.innerWidth,
    keysFrom: document.querySelector(".keypad")?.getBoundingClientRect().top ?? 0,
  };
}
