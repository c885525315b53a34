import { mkdtempSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { chromium } from "playwright-core";
import { expect, test } from "vitest";
import { readPool } from "../../src/intake/pool/read-pool.ts";
import { readWorkLog } from "../../src/intake/read-work-log.ts";
import { launchOptions } from "../chromium.ts";
import { deckBrowser } from "./deck-browser.ts";
import {
  enterReading,
  openResult,
  openTab,
  phone,
  pickFiles,
  savedBytes,
  setUpPool,
  watchedPage,
} from "./deck-page.ts";

/** What is entered or imported stays as it was: through crashes, reloads and exports. */

const deck = deckBrowser();

const poolYaml = `# Kestrel Bay, the long course\r\npool: Kestrel Bay   # our name\r\nlanes: [1, 2, 10]\r\ndevices: [touchpad]\r\nsupply: { source_ohms: 0 }\r\nmeters: [{ name: deck, load_ohms: 1000 }]\r\n`;
const sheet = `\uFEFFlane;point;volts;taken_at;remark by the lifeguard\r\n1;pod;4,71;2026-05-02T08:00:00;"first; wet"\r\n2;pod;4,96;2026-05-02T08:01:00;\r\n`;

test("a reading is on disk before its field clears: the browser is killed right after", async () => {
  const folder = mkdtempSync(join(tmpdir(), "deck-profile-"));
  const options = { ...(await launchOptions()), viewport: phone, offline: true };
  const first = await chromium.launchPersistentContext(folder, options);
  first.setDefaultTimeout(120_000);
  const page = await first.newPage();
  await page.goto(deck.address);
  await setUpPool(page, "Kestrel Bay");
  await enterReading(page, { lane: 3, device: "touchpad", point: "pod" }, "4.87");
  const session = await first.browser()?.newBrowserCDPSession();
  await Promise.all([
    first.waitForEvent("close"),
    session?.send("Browser.crash").catch(() => undefined),
  ]);

  const second = await chromium.launchPersistentContext(folder, options);
  second.setDefaultTimeout(120_000);
  const again = await second.newPage();
  await again.goto(deck.address);
  await again.getByText("1 reading in walk").waitFor();
  expect(await again.locator(".latest").textContent()).toMatch(/4\.87\sV/);
  await second.close();
});

test("imported files leave byte for byte; readings and what was struck out stand in the ledger", async () => {
  const context = await deck.browser.newContext({
    viewport: phone,
    offline: true,
    acceptDownloads: true,
  });
  const { page, errors } = await watchedPage(context);
  await page.goto(deck.address);
  await pickFiles(page, { "spring.csv": sheet, "pool.yaml": poolYaml });
  await page.getByText("spring.csv: 2 readings.").waitFor();
  expect((await savedBytes(page, "Save pool.yaml")).equals(Buffer.from(poolYaml))).toBe(true);
  expect((await savedBytes(page, "Save spring.csv")).equals(Buffer.from(sheet))).toBe(true);

  await openTab(page, "Walk");
  await enterReading(page, { lane: 10, device: "touchpad", point: "plate" }, "4,9");
  await openTab(page, "Files");
  expect((await savedBytes(page, "Save spring.csv")).equals(Buffer.from(sheet))).toBe(true);
  const ledger = (await savedBytes(page, "Save readings.csv")).toString("utf8");
  expect(ledger).toMatch(
    /^id,lane,.*\r\n[\da-f]{16},10,touchpad,,plate,4\.9,\d{4}-\d\d-\d\dT[\d:]{8}[+-]\d\d:\d\d,.*\r\n$/,
  );

  await openTab(page, "Walk");
  await page.getByRole("button", { name: "Undo 4.9: 4.9 V, lane 10 touchpad plate" }).click();
  await page.getByText("Undone: 4.9 V, lane 10").waitFor();
  await openTab(page, "Files");
  // Nothing is erased: the ledger says that the reading no longer counts.
  const longer = (await savedBytes(page, "Save readings.csv")).toString("utf8");
  expect(longer.startsWith(ledger)).toBe(true);
  expect(longer.slice(ledger.length)).toMatch(
    /^[\da-f]{16},10,touchpad,,plate,4\.9,.*,struck,.*\r\n$/,
  );
  expect(errors).toEqual([]);
  await context.close();
});

test("UTF-16 and Windows-1252 sheets are read, and leave as they came", async () => {
  const context = await deck.browser.newContext({ viewport: phone, offline: true });
  const { page } = await watchedPage(context);
  await page.goto(deck.address);
  const wide = Buffer.from("\uFEFFlane\tpoint\tvolts\n1\tpod\t4.7\n", "utf16le");
  const western = Buffer.from("lane,point,volts,note\n2,pod,4.8,n\xe4sse\n", "latin1");
  await pickFiles(page, { "pool.yaml": poolYaml, "a.csv": wide, "b.csv": western });
  await page.getByText("a.csv: 1 reading.").waitFor();
  await page.getByText("b.csv: 1 reading.").waitFor();
  expect((await savedBytes(page, "Save a.csv")).equals(wide)).toBe(true);
  expect((await savedBytes(page, "Save b.csv")).equals(western)).toBe(true);
  await openTab(page, "Walk");
  await enterReading(page, { lane: 1, device: "touchpad", point: "pod" }, "4.75");
  await openTab(page, "Files");
  expect((await savedBytes(page, "Save a.csv")).equals(wide)).toBe(true);
  expect((await savedBytes(page, "Save readings.csv")).toString()).toContain(",4.75,");
  await context.close();
});

test("rows that can't be used are listed with their reason and can be saved to mend", async () => {
  const context = await deck.browser.newContext({ viewport: phone, offline: true });
  const { page } = await watchedPage(context);
  await page.goto(deck.address);
  const bad = "lane,point,volts\n1,pod,4.7\n77,pod,4.8\n2,pod,wet\n";
  await pickFiles(page, { "pool.yaml": poolYaml, "bad.csv": bad });
  await page.getByText("2 rows could not be used", { exact: true }).waitFor();
  const rejected = (await savedBytes(page, "Save rejected.csv to mend it")).toString();
  expect(rejected).toContain("77,pod,4.8");
  expect(rejected).toContain("2,pod,wet");
  await context.close();
});

test("rows pasted from a spreadsheet are taken like a file; the same paste twice is not", async () => {
  const context = await deck.browser.newContext({ viewport: phone, offline: true });
  const { page } = await watchedPage(context);
  await page.goto(deck.address);
  // No wait between: rows that come while their pool file is being taken are rows of that pool.
  await pickFiles(page, { "pool.yaml": poolYaml });
  const rows = "lane\tpod\tplate\n1\t4,71\t4,95\n2\t4,96\t4,97\n";
  for (const words of ["pasted.csv: 4 readings.", "was imported before"]) {
    await page.getByLabel("Paste rows, the header row first").fill(rows);
    await page.getByRole("button", { name: "Take pasted rows" }).click();
    await page.getByText(words).waitFor();
  }
  await context.close();
});

test("where the browser keeps nothing, a banner says so and the walk still works", async () => {
  const context = await deck.browser.newContext({ viewport: phone, offline: true });
  await context.addInitScript(() => {
    IDBFactory.prototype.open = () => {
      throw new DOMException("not in a private window", "SecurityError");
    };
  });
  const { page } = await watchedPage(context);
  await page.goto(deck.address);
  const banner = page.getByRole("alert").filter({ hasText: "This browser keeps nothing" });
  await banner.waitFor();
  await setUpPool(page, "Kestrel Bay");
  await enterReading(page, { lane: 1, device: "touchpad", point: "pod" }, "4.9");
  expect(await banner.isVisible()).toBe(true);
  await page.getByText("1 reading in walk").waitFor();
  await context.close();
});

test("a full storage is said aloud, and the value stays in its field", async () => {
  const context = await deck.browser.newContext({ viewport: phone, offline: true });
  const { page } = await watchedPage(context);
  await page.goto(deck.address);
  await setUpPool(page, "Kestrel Bay");
  await page.evaluate(() => {
    IDBObjectStore.prototype.put = () => {
      throw new DOMException("no room", "QuotaExceededError");
    };
  });
  const field = page.getByLabel("Volts shown");
  await field.fill("4.91");
  await field.press("Enter");
  await page.getByText("This was NOT stored").waitFor();
  expect(await field.inputValue()).toBe("4.91");
  await context.close();
});

test("work done is logged where the command reads it, in an imported log's own columns", async () => {
  const context = await deck.browser.newContext({ viewport: phone, offline: true });
  const { page, errors } = await watchedPage(context);
  await page.goto(deck.address);
  const log = "action;point;lane;device;done_at;by\ncleaned;plate;2;;2026-05-01;me\n";
  await pickFiles(page, { "pool.yaml": poolYaml, "work.csv": log, "spring.csv": sheet });
  await page.getByText("work.csv: 1 line of work.").waitFor();
  await openResult(page);
  await page.locator("details.suspect > summary").first().click();
  await page.getByRole("button", { name: /^replaced: lane 1/ }).click();
  await page
    .getByText("lane 1 plate, replaced: read")
    .or(page.locator(".outcome"))
    .first()
    .waitFor();
  await openTab(page, "Files");
  const longer = (await savedBytes(page, "Save work.csv")).toString();
  expect(longer.startsWith(log)).toBe(true);
  const pool = readPool(poolYaml, "pool.yaml");
  if (!pool.ok) throw new Error("the pool of this test is no pool");
  const { entries, rejected } = readWorkLog(longer, pool.value, "work.csv");
  expect(rejected).toEqual([]);
  expect(entries.map(({ lane, action }) => [lane, action])).toEqual([
    [2, "cleaned"],
    [1, "replaced"],
  ]);
  expect(errors).toEqual([]);
  await context.close();
});

test("a line of work has all that the log holds, is refused like an import, and can be taken back", async () => {
  const context = await deck.browser.newContext({ viewport: phone, offline: true });
  const { page, errors } = await watchedPage(context);
  await page.goto(deck.address);
  await pickFiles(page, { "pool.yaml": poolYaml });
  await page.getByText("new pool Kestrel Bay").waitFor();
  await openTab(page, "Walk");
  await enterReading(page, { lane: 1, device: "touchpad", point: "pod" }, "4.4");
  const walk = /in walk (\S+)\.$/.exec((await page.locator(".after").textContent()) ?? "")?.[1];
  await openResult(page);
  const card = page.locator("details.suspect").first();
  await card.locator("> summary").click();
  await card.getByText("When, minutes, cost, who, note").click();
  await card.getByLabel("When (empty: now)").fill("2026-05-02T14:30");
  await card.getByLabel("Minutes it took").fill("ten");
  await card.getByLabel("What it cost").fill("3,50");
  await card.getByLabel("Done by").fill("KB");
  await card.getByLabel("Note").fill("new; sealed");
  const replaced = card.getByRole("button", { name: /^replaced: lane 1/ });
  await replaced.click();
  await page.getByText("Not logged: minutes is 'ten'").waitFor();
  await card.getByLabel("Minutes it took").fill("12");
  await replaced.click();
  await page.getByText("Logged: lane 1").waitFor();

  const logged = async (): Promise<{ text: string; log: ReturnType<typeof readWorkLog> }> => {
    await openTab(page, "Files");
    const text = (await savedBytes(page, "Save work.csv")).toString();
    const pool = readPool(poolYaml, "pool.yaml");
    if (!pool.ok) throw new Error("the pool of this test is no pool");
    return { text, log: readWorkLog(text, pool.value, "work.csv") };
  };
  const before = await logged();
  expect(before.log.rejected).toEqual([]);
  expect(before.log.entries).toMatchObject([
    { lane: 1, action: "replaced", minutes: 12, cost: 3.5, by: "KB", note: "new; sealed" },
  ]);
  expect(before.text).toMatch(/\n2026-05-02T14:30:00[+-]\d\d:\d\d,1,/);

  await page.reload();
  await openResult(page);
  await page.getByRole("button", { name: "Take that line back" }).click();
  await page.getByText("Taken back from the work log: lane 1").waitFor();
  expect(await page.getByRole("button", { name: "Take that line back" }).count()).toBe(0);
  const after = await logged();
  // The log is only ever added to: the command reads the same file, and counts no work.
  expect(after.text.startsWith(before.text)).toBe(true);
  expect(after.log).toMatchObject({ entries: [], rejected: [], faults: [] });
  await openTab(page, "Walk");
  await page.getByText(`1 reading in walk ${walk}.`).waitFor();
  expect(errors).toEqual([]);
  await context.close();
});
