import { spawnSync } from "node:child_process";
import { mkdtempSync, readdirSync, readFileSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Page } from "playwright-core";
import { describe, expect, test } from "vitest";
import { readPool } from "../../src/intake/pool/read-pool.ts";
import { readReadings } from "../../src/intake/read-readings.ts";
import { readWorkLog } from "../../src/intake/read-work-log.ts";
import { decisionWords } from "../../src/report/decision-words.ts";
import { diagnose, nextReadings } from "../../src/rooms/diagnosis-room.ts";
import { costsOf, decide } from "../../src/rooms/policy-room.ts";
import { diagnoseSeason, openSeason } from "../../src/rooms/season-room.ts";
import { deckBrowser } from "./deck-browser.ts";
import {
  desk,
  enterReading,
  openResult,
  openTab,
  phone,
  pickFiles,
  savedBytes,
  settled,
  setUpPool,
  timelessPage,
  watchedPage,
} from "./deck-page.ts";

/**
 * The whole job in a real browser, from a file and with the network off. What the page shows is
 * held against the same files read and diagnosed outside the browser.
 */

const demoFile = (name: string): string =>
  readFileSync(new URL(`../../datasets/kestrel-bay/${name}`, import.meta.url), "utf8");

const deck = deckBrowser();

/** Ten readings: lane 1 drops at the plate, lane 4 at the pod. */
const readings = [
  [1, "pod", "4.60"],
  [1, "timer", "4.99"],
  [1, "harness", "4.98"],
  [1, "plate", "4.61"],
  [2, "pod", "4.96"],
  [3, "pod", "4.97"],
  [4, "pod", "4.72"],
  [4, "timer", "4,99"],
  [4, "harness", "4.98"],
  [4, "plate", "4.97"],
] as const;

const percent = (p: number): string =>
  (p > 0.99 && p < 1
    ? "over 99 %"
    : p < 0.01 && p > 0
      ? "under 1 %"
      : `${(100 * p).toFixed(0)} %`
  ).replace(" %", "\u00A0%");

describe.each([
  ["phone", phone],
  ["desk", desk],
] as const)("on a %s, offline, from a file", (_name, viewport) => {
  test("set up, walk, reload in the middle, read the result, export, print", async () => {
    const context = await deck.browser.newContext({ viewport, offline: true, locale: "en-GB" });
    const { page, errors, requests } = await watchedPage(context);
    await page.goto(deck.address);
    await setUpPool(page, "Kestrel Bay", "touchpad, button-1");

    for (const [index, [lane, point, volts]] of readings.entries()) {
      await enterReading(page, { lane, device: "touchpad", point }, volts);
      if (index === 4) {
        await page.reload();
        await page.getByText("5 readings in walk").waitFor();
      }
    }
    await page.getByText("10 readings in walk").waitFor();

    await openTab(page, "Files");
    const poolText = (await savedBytes(page, "Save pool.yaml")).toString("utf8");
    const sheetText = (await savedBytes(page, "Save readings.csv")).toString("utf8");
    const pool = readPool(poolText, "pool.yaml");
    if (!pool.ok) throw new Error(JSON.stringify(pool.error));
    const sheet = readReadings(sheetText, pool.value, "readings.csv");
    expect(sheet.rejected).toEqual([]);
    expect(sheet.readings.map((one) => [one.lane, one.point, one.volts])).toEqual(
      readings.map(([lane, point, volts]) => [lane, point, Number(volts.replace(",", "."))]),
    );
    const expected = diagnose(pool.value, sheet.readings);

    await openResult(page);
    const more = page.getByRole("button", { name: /less likely ones/ });
    if (await more.isVisible()) await more.click();
    const shown = await page
      .locator("details.suspect > summary")
      .evaluateAll((all) => all.map((one) => [...one.children].map((part) => part.textContent)));
    // First those to go to, along the lanes; then the others, as likely as they are.
    const isSuspect = ({ atFault }: { readonly atFault: number }): boolean => atFault >= 0.5;
    const go = expected.connectors.filter(isSuspect);
    const others = expected.connectors.filter((one) => !isSuspect(one));
    const inOrder = [...go.toSorted((a, b) => Number(a.lane) - Number(b.lane)), ...others];
    expect(shown).toEqual(
      inOrder.map((one, index) => {
        const owner = one.lane === null ? "" : `lane ${one.lane} `;
        const device = one.device === null ? "" : `${one.device} `;
        const name = `${owner}${device}${one.connector}`;
        return [
          `${index + 1}.`,
          name.charAt(0).toUpperCase() + name.slice(1),
          `${percent(one.atFault)} at fault`,
          `drops ${one.voltsLost.toFixed(2)}\u00A0V`,
        ];
      }),
    );
    expect(shown[0]?.[1]).toBe("Lane 1 plate connector");
    // Off the main thread: the worker that computes is alive, and the page never had to step in.
    expect(page.workers().map((worker) => worker.url().split(":")[0])).toEqual(["blob"]);

    await page.locator("details.suspect > summary").first().click();
    await page.getByText("What the readings say").first().waitFor();
    expect(await page.getByText("Isopropyl alcohol is flammable").first().isVisible()).toBe(true);

    await page.emulateMedia({ media: "print" });
    expect(await page.getByRole("navigation").isVisible()).toBe(false);
    expect(await page.getByText("To see to, in walking order").isVisible()).toBe(true);
    expect((await page.pdf({ format: "A4" })).subarray(0, 5).toString()).toBe("%PDF-");
    await page.emulateMedia({ media: null });

    expect(errors).toEqual([]);
    expect(requests).toEqual([]);
    await context.close();
  });
});

test("a report comes out as one HTML file with its pictures, and nothing was evaluated", async () => {
  const context = await deck.browser.newContext({ viewport: phone, offline: true });
  const { page, errors } = await watchedPage(context);
  await page.goto(deck.address);
  await setUpPool(page, "Kestrel Bay");
  await enterReading(page, { lane: 1, device: "touchpad", point: "pod" }, "4.60");
  await enterReading(page, { lane: 1, device: "touchpad", point: "plate" }, "4.97");
  await openResult(page);
  await openTab(page, "Files");
  const html = (await savedBytes(page, "Save the report (HTML)")).toString("utf8");
  expect(html).toContain("<title>Kestrel Bay: timing path");
  expect(html.match(/data:image\/svg\+xml;base64,/g)?.length).toBeGreaterThanOrEqual(3);
  expect(errors).toEqual([]);
  await context.close();
});

test("the result says that it does not yet hold the last reading, and a report waits until it does", async () => {
  const context = await deck.browser.newContext({ viewport: phone, offline: true });
  // A worker whose questions can be held back, as a slow phone would.
  await context.addInitScript(() => {
    const Own = Worker;
    const page = window as unknown as { held: (() => void)[] | null };
    page.held = null;
    window.Worker = class extends Own {
      override postMessage(message: unknown): void {
        const send = (): void => super.postMessage(message);
        if (page.held === null) send();
        else page.held.push(send);
      }
    };
  });
  const { page, errors } = await watchedPage(context);
  await page.goto(deck.address);
  await setUpPool(page, "Kestrel Bay");
  await enterReading(page, { lane: 1, device: "touchpad", point: "pod" }, "4.60");
  await openResult(page);
  const before = await page.locator(".suspect-name").allTextContents();
  await openTab(page, "Walk");
  await settled(page);
  await page.evaluate(() => Object.assign(window, { held: [] }));
  await enterReading(page, { lane: 2, device: "touchpad", point: "pod" }, "4.20");
  await openTab(page, "Result");
  await page.getByText("Working it out again …").waitFor();
  expect(await page.locator(".ranking").getAttribute("aria-busy")).toBe("true");
  expect(await page.locator(".suspect-name").allTextContents()).toEqual(before);

  await openTab(page, "Files");
  const download = page.waitForEvent("download");
  await page.getByRole("button", { name: "Save the report (HTML)" }).click();
  await page.getByText("Writing the report …").waitFor();
  await page.evaluate(() => {
    const waiting = window as unknown as { held: (() => void)[] | null };
    const held = waiting.held ?? [];
    waiting.held = null;
    for (const send of held) send();
  });
  const report = readFileSync(await (await download).path(), "utf8");
  await openResult(page);
  const verdict = (await page.locator(".verdict").textContent()) ?? "";
  expect(verdict).toContain("ane 2");
  expect(report).toMatch(/[Ll]ane 2 touchpad pod/);
  expect(await page.getByText("Working it out again …").count()).toBe(0);
  expect(await page.locator(".suspect-name").allTextContents()).not.toEqual(before);
  expect(await page.locator(".suspect-name").first().textContent()).toContain("Lane 2");
  expect(errors).toEqual([]);
  await context.close();
});

/** The demo's season, cut down to two lanes: a whole one takes its time. */
function fewLanes(): Readonly<Record<string, string>> {
  const few = /^(lane|done_at|[^,]*,[35],|[35],touchpad)/;
  return Object.fromEntries(
    ["pool.yaml", "readings.csv", "work.csv"].map((name) => [
      name,
      name === "pool.yaml"
        ? demoFile(name)
        : demoFile(name)
            .split(/(?<=\n)/)
            .filter((line) => few.test(line))
            .join(""),
    ]),
  );
}

async function importAll(page: Page, files: Readonly<Record<string, string>>): Promise<void> {
  await pickFiles(page, files);
  await page.getByText(/readings\.csv: \d+ readings\./).waitFor();
}

test("where the browser starts no worker, the page ranks by itself and says what it can't do", async () => {
  const context = await deck.browser.newContext({ viewport: phone, offline: true });
  await context.addInitScript(() => {
    window.Worker = class {
      constructor() {
        throw new DOMException("no workers here", "SecurityError");
      }
    } as unknown as typeof Worker;
  });
  const { page, errors } = await watchedPage(context);
  await page.goto(deck.address);
  await setUpPool(page, "Kestrel Bay");
  // One low reading may be a timer's own resistance; with others full it is a lane's.
  await enterReading(page, { lane: 2, device: "touchpad", point: "pod" }, "5.00");
  await enterReading(page, { lane: 3, device: "touchpad", point: "pod" }, "4.99");
  await enterReading(page, { lane: 1, device: "touchpad", point: "pod" }, "4.40");
  await openResult(page);
  expect(await page.locator(".suspect-name").first().textContent()).toContain("Lane 1");
  await page.getByRole("button", { name: "Work out: clean or replace" }).click();
  await page.getByText("Not decided: ").waitFor();
  expect(errors).toEqual([]);
  await context.close();
});

test("clean or replace is what the package decides for the same files", async () => {
  const files = fewLanes();
  const context = await deck.browser.newContext({ viewport: phone, offline: true });
  const { page, errors } = await watchedPage(context);
  await page.goto(deck.address);
  await importAll(page, files);
  await openResult(page);
  await page.getByRole("button", { name: "Work out: clean or replace" }).click();
  await page.getByText("Done: open a suspect").waitFor({ timeout: 300_000 });

  const pool = readPool(files["pool.yaml"] ?? "", "pool.yaml");
  if (!pool.ok) throw new Error("the demo's pool file is no pool file");
  const { readings } = readReadings(files["readings.csv"] ?? "", pool.value, "readings.csv");
  const { entries } = readWorkLog(files["work.csv"] ?? "", pool.value, "work.csv");
  const season = openSeason(pool.value, diagnoseSeason(pool.value, readings, entries), entries);
  if (season === null) throw new Error("the demo has no walk");
  const expected = decide(pool.value, season.latest.diagnosis, season.trend!);
  expect(expected.length).toBeGreaterThan(0);
  const words = expected.map((one) => decisionWords(one, costsOf(pool.value).currency));
  expect(await page.locator(".decision > p").allTextContents()).toEqual(words);
  expect(errors).toEqual([]);
  await context.close();
});

test("the memo is the command's own for the same files, pictures and all, with its blanks", async () => {
  const files = fewLanes();
  const folder = mkdtempSync(join(tmpdir(), "deck-memo-"));
  for (const [name, text] of Object.entries(files)) writeFileSync(join(folder, name), text);
  const run = spawnSync(
    process.execPath,
    [
      ...["--import", "tsx", "src/cli/main.ts", "memo"],
      ...["--pool", join(folder, "pool.yaml"), "--work", join(folder, "work.csv")],
      ...["--out", join(folder, "memo"), join(folder, "readings.csv")],
    ],
    { encoding: "utf8" },
  );
  expect({ status: run.status, error: run.stderr }).toEqual({ status: 0, error: "" });
  const command = readdirSync(join(folder, "memo")).filter((name) => /\.(md|svg)$/.test(name));

  const context = await deck.browser.newContext({ viewport: phone, offline: true });
  const { page, errors } = await watchedPage(context);
  await page.goto(deck.address);
  await importAll(page, files);
  const saved = new Map<string, string>();
  page.on("download", async (download) => {
    saved.set(download.suggestedFilename(), readFileSync(await download.path(), "utf8"));
  });
  await page.getByRole("button", { name: "Save the memo (Markdown, with its pictures)" }).click();
  await page.getByText("The memo is written.").waitFor({ timeout: 300_000 });
  await expect.poll(() => saved.size, { timeout: 60_000 }).toBe(command.length);
  expect([...saved.keys()].toSorted()).toEqual(command.toSorted());
  expect(command.length).toBeGreaterThan(2);
  // This browser and this Node round a sine or a logarithm in the last place each in its own way.
  const plain = (text: string): string =>
    text.replaceAll(/\d+\.\d{6,}/g, (number) => Number(number).toFixed(5));
  const differing = [...saved].filter(
    ([name, text]) => plain(text) !== plain(readFileSync(join(folder, "memo", name), "utf8")),
  );
  expect(differing.map(([name]) => name)).toEqual([]);
  expect(saved.get("memo.md")).toMatch(/\*\*To:\*\* .*_/);

  const html = (await savedBytes(page, "Save the memo (HTML)")).toString("utf8");
  expect(html).toMatch(/<title>(Capital request: t|T)iming path of Kestrel Bay/);
  expect(html.match(/data:image\/svg\+xml;base64,/g)?.length).toBe(command.length - 1);
  expect(errors).toEqual([]);
  await context.close();
});

test("the next reading proposed is the package's own, and stays put while its value is typed", async () => {
  const { context, page, errors } = await timelessPage(deck.browser, deck.address);
  await setUpPool(page, "Kestrel Bay");
  for (const volts of ["4.96", "4.60", "4.61"]) {
    await page.locator(".place-point").waitFor();
    // Advice that comes late may still change the place: until the first digit.
    const field = page.getByLabel("Volts shown");
    await field.pressSequentially(volts.slice(0, 1));
    const before = await page.locator(".place-words").textContent();
    await field.pressSequentially(volts.slice(1), { delay: 20 });
    expect(await page.locator(".place-words").textContent()).toBe(before);
    await field.press("Enter");
    await page
      .getByText(`Stored: lane`)
      .filter({ hasText: `${volts} V` })
      .waitFor();
  }
  await settled(page);
  const shown = await page.locator(".place-words > :nth-child(-n+2)").allTextContents();

  await openTab(page, "Files");
  const poolText = (await savedBytes(page, "Save pool.yaml")).toString("utf8");
  const sheetText = (await savedBytes(page, "Save readings.csv")).toString("utf8");
  const pool = readPool(poolText, "pool.yaml");
  if (!pool.ok) throw new Error("the page exports a pool file that is none");
  const { readings } = readReadings(sheetText, pool.value, "readings.csv");
  const best = nextReadings(pool.value, readings).readings[0];
  expect(shown).toEqual([`Lane ${best?.lane} · ${best?.device}`, `at the ${best?.point}`]);
  expect(errors).toEqual([]);
  await context.close();
});

test("the command reads what the page exports, and ranks as the page does", async () => {
  const context = await deck.browser.newContext({ viewport: phone, offline: true });
  const { page } = await watchedPage(context);
  await page.goto(deck.address);
  await setUpPool(page, "Kestrel Bay");
  for (const [lane, point, volts] of readings.slice(0, 5))
    await enterReading(page, { lane, device: "touchpad", point }, volts);
  await openTab(page, "Files");
  const folder = mkdtempSync(join(tmpdir(), "deck-export-"));
  writeFileSync(join(folder, "pool.yaml"), await savedBytes(page, "Save pool.yaml"));
  writeFileSync(join(folder, "readings.csv"), await savedBytes(page, "Save readings.csv"));
  const run = spawnSync(
    process.execPath,
    [
      ...["--import", "tsx", "src/cli/main.ts", "check", "--json"],
      ...["--pool", join(folder, "pool.yaml"), join(folder, "readings.csv")],
    ],
    { encoding: "utf8" },
  );
  expect(run.status).toBe(1);
  const answer = JSON.parse(run.stdout) as {
    walks: { connectors: { connector: string; lane: number; atFault: number }[] }[];
    rejected: unknown[];
  };
  expect(answer.rejected).toEqual([]);
  await openResult(page);
  const shown = await page.locator(".suspect .chance").allTextContents();
  const connectors = answer.walks[0]?.connectors ?? [];
  expect(shown).toEqual(
    connectors.slice(0, shown.length).map((one) => `${percent(one.atFault)} at fault`),
  );
  expect(shown.length).toBeGreaterThan(3);
  await context.close();
});
