import { mkdtempSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import type { Browser } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test, vi } from "vitest";
import { chartRuntime } from "../../src/cli/chart-runtime.ts";
import { drawFigures } from "../../src/cli/draw-figures.ts";
import { cautions } from "../../src/report/cautions.ts";
import { chartsOf } from "../../src/report/document.ts";
import { type ReportInput, reportDocument } from "../../src/report/html-report.ts";
import { workCards } from "../../src/report/work-cards.ts";
import { writeHtml } from "../../src/report/write-html.ts";
import { launchChromium } from "../chromium.ts";
import { poolFrom } from "../plain-pool.ts";
import { documentTexts } from "./document-texts.ts";
import { pool, readings, sound, walk } from "./fixture.ts";

// Whole documents are drawn here: slow on a busy machine.
vi.setConfig({ testTimeout: 300_000, hookTimeout: 300_000 });

const input: ReportInput = {
  pool,
  walk,
  readings,
  rejects: [],
  sound,
  decisions: [],
  season: null,
};

/** Lane, point, device, connector and row texts that try to break out of where they are printed. */
const attack = `"><img src=x onerror="globalThis.hit=1"><script>globalThis.hit=2</script>`;
const hostile: ReportInput = {
  ...input,
  pool: poolFrom({
    ...pool,
    name: `</title>${attack}`,
    lanes: [attack, ...pool.lanes.slice(1)],
    devices: [`touch${attack}`, "button-1"],
    chain: pool.chain.map((one) =>
      one.point === "plate" ? { ...one, point: attack, connector: attack } : one,
    ),
  }),
  walk: {
    ...walk,
    walk: `</script>${attack}`,
    connectors: walk.connectors.map((one) => ({
      ...one,
      connector: attack,
      lane: attack,
      point: attack,
      circuits: [attack],
    })),
    explanations: walk.explanations.map((one) => ({ ...one, lane: attack, point: attack })),
    readAgain: walk.readAgain.map((one) => ({ ...one, lane: attack, point: attack })),
  },
  readings: readings.map((one) => ({
    ...one,
    walk: `</script>${attack}`,
    lane: one.lane === 1 ? attack : one.lane,
    device: one.device === "touchpad" ? `touch${attack}` : one.device,
    point: one.point === "plate" ? attack : one.point,
  })),
  rejects: [{ file: attack, line: 4, kind: "volts", reason: attack, text: attack, fields: {} }],
};

const write = async (from: ReportInput): Promise<string> => {
  const document = reportDocument(from);
  return writeHtml(document, await drawFigures(chartsOf(document)), chartRuntime());
};

const folder = mkdtempSync(join(tmpdir(), "dropwise-report-"));
const save = (name: string, html: string): string => {
  const path = join(folder, name);
  writeFileSync(path, html);
  return pathToFileURL(path).href;
};

test("the chart engine's own packages are named with their licences", async () => {
  const html = await write(input);
  const notices = /<script type="text\/plain" data-licences>(.*?)<\/script>/s.exec(html)?.[1] ?? "";
  // Packages whose code the engine's published file holds: by its own package.json and theirs.
  for (const name of ["vega-util", "vega-dataflow", "d3-array", "d3-scale", "topojson-client"])
    expect(notices).toMatch(new RegExp(`(^|, )${name} \\d+\\.`, "m"));
  expect(notices).toContain("Redistribution and use in source and binary forms");
});

describe("the report as a document", () => {
  const document = reportDocument(input);
  const headings = document.blocks.flatMap((one) =>
    one.kind === "heading" && one.level === 2 ? [one.text] : [],
  );

  test("the verdict comes first and the method last", () => {
    expect(document.blocks[0]).toEqual({
      kind: "verdict",
      line: [
        "Suspect, in walking order: lane 3 plate connector (0.39 V), lane 5 harness connector (0.19 V), lane 7 button-1 pod terminals (4.90 V).",
      ],
    });
    expect(headings).toEqual([
      "What to do",
      "What to read again",
      "Map",
      "Suspects and evidence",
      "Method and assumptions",
    ]);
  });

  test("the cautions of cleaning stand directly under the steps", () => {
    const at = document.blocks.findIndex((one) => one.kind === "caution");
    const block = document.blocks[at];
    const cleaning = cautions.filter((one) => one.steps.includes("clean")).map((one) => one.words);
    expect(block?.kind === "caution" ? block.items : []).toEqual(expect.arrayContaining(cleaning));
    expect(document.blocks[at - 1]).toMatchObject({ kind: "list", ordered: true });
  });

  test("how each work is done stands there once, with the reading that ends it at each suspect", () => {
    const titles = document.blocks.flatMap((one) =>
      one.kind === "heading" && one.level === 3 ? [one.text] : [],
    );
    const cards = workCards.filter(({ title }) => titles.includes(title));
    expect(cards.map(({ id }) => id)).toEqual(["find-break", "clean-outlet", "clean-plate"]);
    const texts = documentTexts(document);
    for (const { steps } of cards)
      for (const { words } of steps)
        expect(texts.filter((one) => one.startsWith(words)).length).toBeGreaterThan(0);
    const ends = texts.filter((one) => one.includes(" is done when: "));
    expect(ends.toSorted()).toEqual([
      expect.stringMatching(/^Lane 3 plate connector .*The plate reads 4\.9\d V, and it stays/),
      expect.stringMatching(/^Lane 5 harness connector .*The harness reads (4\.9\d|5\.00) V/),
      expect.stringMatching(/^Lane 7 button-1 pod terminals .*The pod reads (4\.9\d|5\.00) V/),
    ]);
  });

  test("an open contact is not told to be cleaned", () => {
    const steps = documentTexts(document).filter((one) =>
      one.startsWith("Lane 7 button-1 pod terminals:"),
    );
    expect(steps).toHaveLength(1);
    expect(steps[0]).toContain("look for the break first");
  });

  test("a walk without a suspect on a blind meter gets no clean bill", () => {
    const healthy = walk.connectors.map((one) => ({ ...one, atFault: 0.03 }));
    const blind = reportDocument({
      ...input,
      walk: {
        ...walk,
        connectors: healthy,
        meters: [{ meter: "deck", detectionLimit: null, blind: true }],
      },
    });
    expect(documentTexts(blind)[1]).toBe(
      "No verdict: meter deck cannot show a path that is at its limit.",
    );
    const sighted = reportDocument({ ...input, walk: { ...walk, connectors: healthy } });
    expect(documentTexts(sighted)[1]).toContain("No connector is more likely faulty than sound");
  });

  test("rejected rows reach the reader", () => {
    const reject = {
      file: "a.csv",
      line: 9,
      kind: "volts",
      reason: "volts is 'x'",
      text: "3,plate,x",
      fields: {},
    };
    const texts = documentTexts(reportDocument({ ...input, rejects: [reject] }));
    expect(texts).toEqual(expect.arrayContaining(["a.csv", "9", "volts is 'x'", "3,plate,x"]));
  });
});

describe("the report as a page", () => {
  let browser: Browser;
  let html = "";
  beforeAll(async () => {
    browser = await launchChromium();
    html = await write(input);
  });
  afterAll(() => browser?.close());

  /** Opens a page without a network and notes everything that goes wrong in it. */
  async function open(url: string, javaScriptEnabled = true) {
    const context = await browser.newContext({ offline: true, javaScriptEnabled });
    context.setDefaultTimeout(120_000);
    const page = await context.newPage();
    const troubles: string[] = [];
    const requests: string[] = [];
    page.on("pageerror", (error) => troubles.push(error.message));
    page.on("console", (message) => {
      if (message.type() === "error" || message.type() === "warning") troubles.push(message.text());
    });
    page.on("request", (request) => requests.push(request.url()));
    await page.goto(url);
    return { page, context, troubles, requests };
  }

  test("every text is there, every chart comes alive, nothing is fetched", async () => {
    const url = save("plain.html", html);
    const { page, context, troubles, requests } = await open(url);
    await page.waitForFunction(
      () => document.querySelectorAll('.live[data-ready="yes"] svg').length === 4,
    );
    const text = (await page.evaluate(() => document.body.textContent ?? "")).replace(/\s+/g, " ");
    for (const one of documentTexts(reportDocument(input))) expect(text).toContain(one);
    expect(
      await page
        .locator("img.still")
        .evaluateAll((all) => all.map((one) => getComputedStyle(one).display)),
    ).toEqual(["none", "none", "none", "none"]);
    expect(troubles).toEqual([]);
    expect(requests.filter((one) => one !== url && !one.startsWith("data:"))).toEqual([]);
    await page.emulateMedia({ media: "print" });
    expect(await page.locator("img.still").first().isVisible()).toBe(true);
    expect(await page.locator(".live").first().isVisible()).toBe(false);
    await context.close();
  });

  test("without scripts the still pictures stand, each with its alternative text", async () => {
    const { page, context } = await open(save("plain.html", html), false);
    const stills = page.locator("img.still");
    expect(await stills.count()).toBe(4);
    for (const still of await stills.all()) {
      expect(await still.isVisible()).toBe(true);
      expect((await still.getAttribute("alt"))?.length).toBeGreaterThan(40);
    }
    await context.close();
  });

  test("names that attack the page are printed and run nothing", async () => {
    const { page, context, troubles } = await open(save("hostile.html", await write(hostile)));
    await page.waitForFunction(
      () => document.querySelectorAll('.live[data-ready="yes"] svg').length === 4,
    );
    expect(await page.evaluate(() => (globalThis as { hit?: number }).hit ?? 0)).toBe(0);
    expect(await page.locator("img:not(.still)").count()).toBe(0);
    expect(await page.locator("script:not([data-chart], [data-licences])").count()).toBe(3);
    expect(await page.title()).toContain("<script>globalThis.hit=2</script>");
    const text = (await page.evaluate(() => document.body.textContent ?? "")).replace(/\s+/g, " ");
    for (const one of documentTexts(reportDocument(hostile))) expect(text).toContain(one);
    expect(troubles).toEqual([]);
    await context.close();
  });

  test("the policy blocks a script that somebody adds to the file", async () => {
    const added = html.replace("</main>", "<script>globalThis.hit=3</script></main>");
    const { page, context, troubles } = await open(save("added.html", added));
    await expect
      .poll(() => troubles.join(" "), { timeout: 60_000 })
      .toContain("Content Security Policy");
    expect(await page.evaluate(() => (globalThis as { hit?: number }).hit ?? 0)).toBe(0);
    await context.close();
  });

  test("on a phone nothing goes over the side, and a chart's letters keep their size", async () => {
    const { page, context } = await open(save("plain.html", html));
    await page.setViewportSize({ width: 390, height: 844 });
    await page.waitForFunction(
      () => document.querySelectorAll('.live[data-ready="yes"] svg').length === 4,
    );
    expect(await page.evaluate(() => document.documentElement.scrollWidth)).toBeLessThanOrEqual(
      390,
    );
    const letters = await page.evaluate(() =>
      [...document.querySelectorAll<SVGTextElement>(".live svg .mark-text text")].map(
        (one) => one.getBoundingClientRect().height,
      ),
    );
    // A line of letters of 8 px is some 9 px high.
    expect(Math.min(...letters.filter((height) => height > 0))).toBeGreaterThan(9);
    await context.close();
  });

  test.each([
    ["A4", 595, 842],
    ["Letter", 612, 792],
  ] as const)(
    "it prints on %s without cutting anything off at the side",
    async (format, width, height) => {
      const { page, context } = await open(save("plain.html", html));
      const pdf = (await page.pdf({ format })).toString("latin1");
      const box = /\/MediaBox\s*\[\s*0 0 ([\d.]+) ([\d.]+)\s*\]/.exec(pdf);
      expect(Number(box?.[1])).toBeCloseTo(width, -1);
      expect(Number(box?.[2])).toBeCloseTo(height, -1);
      // Paper less its margins of 16 mm, in px at 96 to the inch.
      await page.emulateMedia({ media: "print" });
      await page.setViewportSize({ width: Math.floor((width / 72 - 32 / 25.4) * 96), height: 900 });
      const over = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
      expect(over).toBeLessThanOrEqual(0);
      await context.close();
    },
  );
});
