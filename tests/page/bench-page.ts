import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { gzipSync } from "node:zlib";
import { launchChromium } from "../chromium.ts";
import { enterReading, pageAddress, phone, setUpPool } from "./deck-page.ts";

/**
 * `npm run bench:page`: how large the page is, how soon its first field can be typed in, and how
 * soon the ranking follows a reading. From a file, offline, on a phone's viewport.
 */

const median = (values: readonly number[]): number =>
  values.toSorted((a, b) => a - b)[Math.floor(values.length / 2)] ?? Number.NaN;

const address = await pageAddress();
const bytes = readFileSync(fileURLToPath(address));
process.stdout.write(`size: ${bytes.length} bytes, gzip ${gzipSync(bytes).length}\n`);

const browser = await launchChromium();

/** Milliseconds from navigation to the first field being there to type in. */
async function opening(slowdown: number): Promise<number> {
  const context = await browser.newContext({ viewport: phone, offline: true });
  const page = await context.newPage();
  const session = await context.newCDPSession(page);
  await session.send("Emulation.setCPUThrottlingRate", { rate: slowdown });
  await page.addInitScript(() => {
    new MutationObserver(() => {
      const field = document.querySelector("#pool-name");
      if (field !== null && !("first" in window))
        Object.assign(window, { first: performance.now() });
    }).observe(document, { childList: true, subtree: true });
  });
  await page.goto(address);
  await page.waitForFunction(() => "first" in window);
  const first = await page.evaluate(() => (window as unknown as { first: number }).first);
  await context.close();
  return first;
}

for (const slowdown of [1, 6]) {
  const times: number[] = [];
  for (let run = 0; run < 7; run += 1) times.push(await opening(slowdown));
  process.stdout.write(
    `first field, processor slowed by ${slowdown}: median ${median(times).toFixed(0)} ms of ${times.length}\n`,
  );
}

const context = await browser.newContext({ viewport: phone, offline: true });
const page = await context.newPage();
await page.goto(address);
await setUpPool(page, "Kestrel Bay");
const times: number[] = [];
const besides: number[] = [];
const proposed: number[] = [];
for (const point of ["pod", "plate", "harness", "timer"])
  for (const lane of [1, 2, 3, 4, 5, 6, 7, 8]) {
    await enterReading(page, { lane, device: "touchpad", point }, `4.${99 - lane}`);
    const sent = Date.now();
    await page.locator('.where[aria-busy="false"]').waitFor();
    proposed.push(Date.now() - sent);
    const timing = await page.evaluate(() => document.body.dataset["timing"] ?? "");
    const { total, diagnosis } = JSON.parse(timing) as { total: number; diagnosis: number };
    times.push(total);
    besides.push(total - diagnosis);
  }
process.stdout.write(
  `ranking after a reading, ${times.length} readings: median ${median(times).toFixed(0)} ms, worst ${Math.max(...times).toFixed(0)} ms\n`,
);
process.stdout.write(
  `of which not the diagnosis: median ${median(besides).toFixed(1)} ms, worst ${Math.max(...besides).toFixed(1)} ms\n`,
);
process.stdout.write(
  `next point after that: median ${median(proposed).toFixed(0)} ms, worst ${Math.max(...proposed).toFixed(0)} ms\n`,
);
await browser.close();
