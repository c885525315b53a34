import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { gzipSync } from "node:zlib";
import { launchChromium } from "../chromium.ts";
import { enterReading, pageAddress, phone, pickFiles, setUpPool } from "./deck-page.ts";

/**
 * `npm run bench:page`: how large the page is, how soon its first field can be typed in, how soon the
 * next instruction stands there, and how soon the ranking follows a reading. From a file, offline, on a phone's viewport.
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

/** Milliseconds from the tap on a value's last digit to the next instruction standing there, by the page's own keys. */
async function instruction(slowdown: number): Promise<readonly number[]> {
  const context = await browser.newContext({ viewport: phone, offline: true });
  const page = await context.newPage();
  await page.goto(address);
  await setUpPool(page, "Kestrel Bay", "touchpad, button-1, button-2");
  const session = await context.newCDPSession(page);
  await session.send("Emulation.setCPUThrottlingRate", { rate: slowdown });
  const times: number[] = [];
  for (let reading = 0; reading < 12; reading++) {
    const took = await page.evaluate(async () => {
      const words = document.querySelector(".place-words") as HTMLElement;
      const before = words.textContent;
      const keys = [...document.querySelectorAll<HTMLButtonElement>(".key")];
      let start = 0;
      for (const digit of "498") {
        start = performance.now();
        keys.find((one) => one.textContent === digit)?.click();
      }
      while (words.textContent === before) await new Promise(requestAnimationFrame);
      return performance.now() - start;
    });
    times.push(took);
  }
  await context.close();
  return times;
}

for (const slowdown of [1, 6]) {
  const times = await instruction(slowdown);
  process.stdout.write(
    `last digit to next instruction, 24 circuits, slowed by ${slowdown}: median ${median(times).toFixed(0)} ms, worst ${Math.max(...times).toFixed(0)} ms of ${times.length}; 3 taps a reading\n`,
  );
}

/** Two hundred walks of eight lanes, every point read. */
function longSeason(): string {
  const rows = ["lane,device,point,volts,taken_at"];
  for (let walk = 0; walk < 200; walk++)
    for (let lane = 1; lane <= 8; lane++)
      for (const [at, point] of ["pod", "plate", "harness", "timer"].entries()) {
        const moment = new Date(Date.UTC(2024, 0, 1 + 3 * walk, 8, 4 * lane + at));
        const volts = (4.95 + 0.01 * ((walk + lane + at) % 5)).toFixed(2);
        rows.push(`${lane},touchpad,${point},${volts},${moment.toISOString().slice(0, 19)}Z`);
      }
  return `${rows.join("\n")}\n`;
}

/** Milliseconds from a reload to the lanes being there, 200 walks stored. */
async function reopening(slowdown: number): Promise<readonly number[]> {
  const context = await browser.newContext({ viewport: phone, offline: true });
  const page = await context.newPage();
  await page.goto(address);
  await setUpPool(page, "Kestrel Bay");
  await pickFiles(page, { "long.csv": longSeason() });
  await page.getByText("long.csv: 6400 readings.").waitFor();
  const session = await context.newCDPSession(page);
  await session.send("Emulation.setCPUThrottlingRate", { rate: slowdown });
  await page.addInitScript(() => {
    new MutationObserver(() => {
      if (document.querySelector(".strip") !== null && !("first" in window))
        Object.assign(window, { first: performance.now() });
    }).observe(document, { childList: true, subtree: true });
  });
  const times: number[] = [];
  for (let run = 0; run < 5; run++) {
    await page.reload();
    await page.waitForFunction(() => "first" in window);
    times.push(await page.evaluate(() => (window as unknown as { first: number }).first));
  }
  await context.close();
  return times;
}

for (const slowdown of [1, 6])
  process.stdout.write(
    `reopening with 200 walks, slowed by ${slowdown}: median ${median(await reopening(slowdown)).toFixed(0)} ms\n`,
  );

const context = await browser.newContext({ viewport: phone, offline: true });
const page = await context.newPage();
await page.goto(address);
await setUpPool(page, "Kestrel Bay");
const times: number[] = [];
const besides: number[] = [];
const proposed: number[] = [];
const entered: string[] = [];
for (const point of ["pod", "plate", "harness", "timer"])
  for (const lane of [1, 2, 3, 4, 5, 6, 7, 8]) {
    await enterReading(page, { lane, device: "touchpad", point }, `4.${99 - lane}`);
    entered.push(`lane ${lane} ${point} 4.${99 - lane}`);
    const sent = Date.now();
    await page.locator('.where[aria-busy="false"]').waitFor({ state: "attached" });
    proposed.push(Date.now() - sent);
    const timing = await page.evaluate(() => document.body.dataset["timing"] ?? "");
    const { total, diagnosis } = JSON.parse(timing) as { total: number; diagnosis: number };
    times.push(total);
    besides.push(total - diagnosis);
  }
process.stdout.write(
  `ranking after a reading, ${times.length} readings: median ${median(times).toFixed(0)} ms, worst ${Math.max(...times).toFixed(0)} ms, with reading ${times.indexOf(Math.max(...times)) + 1}, ${entered[times.indexOf(Math.max(...times))]}\n`,
);
process.stdout.write(
  `of which not the diagnosis: median ${median(besides).toFixed(1)} ms, worst ${Math.max(...besides).toFixed(1)} ms\n`,
);
process.stdout.write(
  `next point after that: median ${median(proposed).toFixed(0)} ms, worst ${Math.max(...proposed).toFixed(0)} ms\n`,
);
await browser.close();
