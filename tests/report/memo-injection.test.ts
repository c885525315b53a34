import { mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import type { Browser } from "playwright-core";
import { afterAll, beforeAll, expect, test, vi } from "vitest";
import { drawFigures } from "../../src/cli/draw-figures.ts";
import { defaultCosts } from "../../src/domain/costs.ts";
import { unknownFacility } from "../../src/domain/facility.ts";
import { chartsOf } from "../../src/report/document.ts";
import { memoDocument } from "../../src/report/memo.ts";
import type { MemoInput } from "../../src/report/memo-input.ts";
import { writeHtml } from "../../src/report/write-html.ts";
import { launchChromium } from "../chromium.ts";
import { poolFrom } from "../plain-pool.ts";
import { pool, readings, walk } from "./fixture.ts";
import { memo as options, plateDecision } from "./memo-fixture.ts";

// A whole document is drawn here: slow on a busy machine.
vi.setConfig({ testTimeout: 300_000, hookTimeout: 300_000 });

/** Tries to leave attributes, elements, titles, scripts and CDATA, and to run. */
const attack = `]]>"'></title></text></svg><img src=x onerror="globalThis.hit=1"><script>globalThis.hit=2</script>`;

const input: MemoInput = {
  pool: poolFrom({
    ...pool,
    name: attack,
    lanes: [attack, ...pool.lanes.slice(1)],
    devices: [`touch${attack}`, "button-1"],
    chain: pool.chain.map((one) =>
      one.point === "plate" ? { ...one, point: attack, connector: attack } : one,
    ),
  }),
  walk: {
    ...walk,
    walk: attack,
    connectors: walk.connectors.map((one) => ({ ...one, connector: attack, lane: attack })),
  },
  readings: readings.map((one) => ({
    ...one,
    walk: attack,
    lane: one.lane === 1 ? attack : one.lane,
    device: one.device === "touchpad" ? `touch${attack}` : one.device,
    point: one.point === "plate" ? attack : one.point,
    by: attack,
    note: attack,
  })),
  cleanings: [],
  decisions: [{ ...plateDecision, place: { ...plateDecision.place, connector: attack } }],
  options: {
    ...options,
    options: options.options.map((one) => ({
      ...one,
      label: one.kind === "plan" ? one.label : attack,
      replaced: one.replaced.map((place) => ({ ...place, connector: attack })),
    })),
  },
  costs: defaultCosts(pool.links),
  facility: {
    ...unknownFacility,
    name: attack,
    letterhead: [attack],
    to: attack,
    from: attack,
    subject: attack,
    reference: attack,
    fund: attack,
    risks: [attack],
    schedule: [{ what: attack, when: attack }],
  },
};

const folder = mkdtempSync(join(tmpdir(), "dropwise-injection-"));
const document = memoDocument(input);
let browser: Browser;
let pictures: Awaited<ReturnType<typeof drawFigures>>;
beforeAll(async () => {
  [browser, pictures] = await Promise.all([launchChromium(), drawFigures(chartsOf(document))]);
});
afterAll(() => browser.close());

/** Opens a file as somebody would who was sent it; what ran, what it asked for, what went wrong. */
async function opened(name: string, content: string) {
  const path = join(folder, name);
  writeFileSync(path, content);
  const page = await browser.newPage();
  const [requests, troubles]: [string[], string[]] = [[], []];
  page.on("request", (request) => requests.push(request.url()));
  page.on("console", (message) => troubles.push(message.text()));
  page.on("pageerror", (error) => troubles.push(error.message));
  await page.goto(pathToFileURL(path).href);
  const hit = await page.evaluate(() => (globalThis as { hit?: number }).hit ?? 0);
  const asked = requests.slice(1).filter((url) => !url.startsWith("data:"));
  return { page, hit, asked, troubles };
}

test("a memo with names that attack prints them and runs nothing", async () => {
  const html = await writeHtml(document, pictures, null);
  const { page, hit, asked, troubles } = await opened("memo.html", html);
  expect({ hit, asked, troubles }).toEqual({ hit: 0, asked: [], troubles: [] });
  expect(await page.locator("script").count()).toBe(0);
  expect(await page.locator("img").count()).toBe(pictures.size);
  expect(await page.locator("body").textContent()).toContain("<script>globalThis.hit=2</script>");
  await page.close();
});

test("the memo's policy keeps out a script that somebody adds", async () => {
  const html = await writeHtml(document, pictures, null);
  const added = html.replace("</body>", "<script>globalThis.hit=3</script></body>");
  expect(added).not.toBe(html);
  const { page, hit, troubles } = await opened("added.html", added);
  expect(hit).toBe(0);
  expect(troubles.join(" ")).toContain("Content Security Policy");
  await page.close();
});

test("a chart's own file with such names is one picture and runs nothing", async () => {
  expect(pictures.size).toBeGreaterThan(1);
  let printed = 0;
  for (const [name, { svg }] of pictures) {
    const { page, hit, asked, troubles } = await opened(`${name}.svg`, svg);
    expect({ name, hit, asked, troubles }).toEqual({ name, hit: 0, asked: [], troubles: [] });
    const found = await page.evaluate(() => ({
      root: window.document.documentElement.localName,
      foreign: window.document.querySelectorAll("script, img, foreignObject, parsererror").length,
      handlers: [...window.document.querySelectorAll("*")].filter((one) =>
        one.getAttributeNames().some((key) => key.startsWith("on")),
      ).length,
    }));
    expect(found).toEqual({ root: "svg", foreign: 0, handlers: 0 });
    if (svg.includes("globalThis.hit")) printed += 1;
    await page.close();
  }
  expect(printed).toBeGreaterThan(0);
});
