import { readFileSync } from "node:fs";
import type { Browser, Page } from "playwright-core";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { drawFigures } from "../../src/cli/draw-figures.ts";
import { defaultCosts } from "../../src/domain/costs.ts";
import { unknownFacility } from "../../src/domain/facility.ts";
import { readPool } from "../../src/intake/pool/read-pool.ts";
import { readReadings } from "../../src/intake/read-readings.ts";
import { readWorkLog } from "../../src/intake/read-work-log.ts";
import { planRound } from "../../src/meet/round.ts";
import { chartsOf } from "../../src/report/document.ts";
import { handOver } from "../../src/report/hand-over.ts";
import { memoDocument } from "../../src/report/memo.ts";
import { roundSheet } from "../../src/report/round-sheet.ts";
import { signedSheet } from "../../src/report/signed-sheet.ts";
import { writeHtml } from "../../src/report/write-html.ts";
import { diagnose } from "../../src/rooms/diagnosis-room.ts";
import { launchChromium } from "../chromium.ts";
import { pool as memoPool, readings as memoReadings, walk as memoWalk } from "./fixture.ts";
import { memo as options, plateDecision } from "./memo-fixture.ts";

const folder = "datasets/kestrel-bay";
const textOf = (name: string): string => readFileSync(`${folder}/${name}`, "utf8");

/** The papers of the demo pool: 24 circuits, six points, a circuit of no lane. */
function papers(): Readonly<Record<string, string>> {
  const read = readPool(textOf("pool.yaml"), "pool.yaml");
  if (!read.ok) throw new Error("the demo's pool file is wrong");
  const pool = read.value;
  const { readings } = readReadings(textOf("readings.csv"), pool, "readings.csv");
  const latest = readings.filter((one) => one.walk === readings.at(-1)!.walk);
  const walk = diagnose(pool, latest);
  const work = readWorkLog(textOf("work.csv"), pool, "work.csv").entries;
  const date = "2026-05-03";
  const parts = Array.from({ length: 12 }, (_, i) => {
    const where = i < 6 ? "spare" : `lane ${i - 5} plate`;
    return { tag: `P-${i + 1}`, kind: "wall plate", where, since: null, note: null, line: i + 2 };
  });
  return {
    "hand-over": handOver({ pool, walk, work, parts, pads: "pads are due.", date }),
    "proof sheet": signedSheet(pool, walk, latest),
    round: roundSheet(planRound(pool, pool.meters[0]!), { date, by: "KM" }),
  };
}

/** The memo of the fixture without its appendix, as a page. */
async function memoBody(): Promise<string> {
  const costs = defaultCosts(memoPool.links);
  const document = memoDocument({
    ...{ pool: memoPool, walk: memoWalk, readings: memoReadings, cleanings: [] },
    ...{ decisions: [plateDecision], options, costs, facility: unknownFacility },
  });
  const end = document.blocks.findIndex(({ kind }) => kind === "page-break");
  const body = { ...document, blocks: document.blocks.slice(0, end) };
  return writeHtml(body, await drawFigures(chartsOf(body)), null);
}

let browser: Browser;
let page: Page;
beforeAll(async () => {
  browser = await launchChromium();
  page = await browser.newPage();
}, 160_000);
afterAll(() => browser?.close());

/** Width of each paper between margins of 12 mm, at 96 dots an inch (ISO 216, ANSI). */
const papersWide = { A4: ((210 - 24) * 96) / 25.4, Letter: (8.5 - 24 / 25.4) * 96 };

test("the memo's body is two pages at most, on A4 and on Letter", async () => {
  await page.setContent(await memoBody());
  for (const format of Object.keys(papersWide)) {
    const pdf = (await page.pdf({ format })).toString("latin1");
    expect(pdf.match(/\/Type\s*\/Page\b(?!s)/g)?.length, format).toBeLessThanOrEqual(2);
  }
}, 120_000);

describe.each(Object.entries(papers()))("%s of the demo pool", (_, html) => {
  test.each(Object.entries(papersWide))(
    "is one page of %s, and no words run over their cell",
    async (format, width) => {
      await page.setViewportSize({ width: Math.floor(width), height: 900 });
      await page.emulateMedia({ media: "print" });
      await page.setContent(html);
      const over = await page.evaluate(() =>
        [...document.querySelectorAll("th, td, li, p")]
          .filter((one) => one.scrollWidth > one.clientWidth + 1 && one.clientWidth > 0)
          .map((one) => one.textContent),
      );
      expect(over).toEqual([]);
      const pdf = (await page.pdf({ format })).toString("latin1");
      expect(pdf.match(/\/Type\s*\/Page\b(?!s)/g)?.length).toBe(1);
    },
  );
});
