import type { Page } from "playwright-core";
import { launchChromium } from "../chromium.ts";
import { openTab, pageAddress, phone, pickFiles, savedBytes, setUpPool } from "./deck-page.ts";
import { cureBoth, firstWalk, points, shownAt } from "./faulty-pool.ts";

/**
 * `npm run bench:story`: what a first walk of eight lanes with one device and two bad connectors takes by
 * the page's own keys, readings and taps; how many readings show that both are cured; and how soon the
 * courses and the memo are there after 200 walks: asked for as soon as the result is there, once the page
 * has read the earlier walks by itself, and when all is known to it. No judgement is passed.
 */

const address = await pageAddress();
const browser = await launchChromium();
const context = await browser.newContext({ viewport: phone, offline: true });
const page = await context.newPage();
await page.goto(address);
await setUpPool(page, "Kestrel Bay");
const walk = await firstWalk(page);
process.stdout.write(
  `eight lanes, one device, two faults: ${walk.readings} readings, ${walk.taps} taps: ${walk.end.join("; ")}\n`,
);
const cures = await cureBoth(page);
process.stdout.write(`readings to confirm two cures: ${cures.readings}: ${cures.end.join(" ")}\n`);
await context.close();

/** Two hundred walks of eight lanes, every point read; in the last one lane 3's plate drops. */
function longSeason(): string {
  const rows = ["lane,device,point,volts,taken_at"];
  const faults = new Map([["3 plate", 79]]);
  for (let walk = 0; walk < 200; walk++)
    for (let lane = 1; lane <= 8; lane++)
      for (const [at, point] of points.entries()) {
        const moment = new Date(Date.UTC(2024, 0, 1 + 3 * walk, 8, 4 * lane + at));
        const volts =
          walk === 199
            ? shownAt(faults, lane, point)
            : (4.95 + 0.01 * ((walk + lane + at) % 5)).toFixed(2);
        rows.push(`${lane},touchpad,${point},${volts},${moment.toISOString().slice(0, 19)}Z`);
      }
  return `${rows.join("\n")}\n`;
}

/** The courses, then the memo, of a season that is new to this page or known to it. */
async function times(season: Page, how: string, ready: boolean): Promise<void> {
  await openTab(season, "Result");
  const decide = season.getByRole("button", { name: "Work out: clean or replace" });
  await decide.waitFor();
  if (ready) {
    const from = performance.now();
    const ahead = season.getByText(/^(Reading the earlier walks|Working out the courses): /);
    await ahead.waitFor();
    await ahead.waitFor({ state: "detached" });
    process.stdout.write(`worked ahead for ${((performance.now() - from) / 1000).toFixed(1)} s\n`);
  }
  const before = performance.now();
  await decide.click();
  await season.getByText("Done: open a suspect").waitFor();
  const decided = performance.now();
  await openTab(season, "Files");
  const start = performance.now();
  await savedBytes(season, "Save the memo (HTML)");
  process.stdout.write(
    `200 walks, ${how}: decide ${((decided - before) / 1000).toFixed(1)} s, then the memo ${((performance.now() - start) / 1000).toFixed(1)} s\n`,
  );
}

for (const ready of [false, true]) {
  const other = await browser.newContext({ viewport: phone, offline: true });
  const season = await other.newPage();
  season.setDefaultTimeout(600_000);
  await season.goto(address);
  await setUpPool(season, "Kestrel Bay");
  await pickFiles(season, { "long.csv": longSeason() });
  await season.getByText("long.csv: 6400 readings.").waitFor();
  await times(season, ready ? "read ahead" : "asked at once", ready);
  if (ready) {
    await season.reload();
    await times(season, "known", false);
  }
  await other.close();
}
await browser.close();
