import type { Page } from "playwright-core";
import { launchChromium } from "../chromium.ts";
import { openTab, pageAddress, phone, savedBytes, setUpPool } from "./deck-page.ts";

/**
 * `npm run bench:story`: what a first walk of eight lanes with one device and two bad connectors takes by
 * the page's own keys, readings and taps; how many readings show that both are cured; and how soon the
 * courses and the memo are there after 200 walks, new to the page and known to it. No judgement is passed.
 */

/** Two contacts that drop, lane 3's plate and lane 6's pod [ohm]. */
const faults = new Map([
  ["3 plate", 79],
  ["6 pod", 115],
]);
/** Copper and sound contacts up to each point, from the timer out [ohm]. */
const sound: Readonly<Record<string, number>> = { timer: 0.3, harness: 1.1, plate: 3.3, pod: 3.8 };
const order = ["timer", "harness", "plate", "pod"];

/** What a meter of 1000 ohms shows there: the divider, by hand. */
function shown(lane: number, point: string): string {
  const passed = order.slice(0, order.indexOf(point) + 1);
  const film = passed.reduce((sum, at) => sum + (faults.get(`${lane} ${at}`) ?? 0), 0);
  return (5000 / (1000 + (sound[point] ?? 0) + film)).toFixed(2);
}

let readings = 0;
let taps = 0;

/** Reads whatever the page asks for, until nothing is asked for. */
async function follow(page: Page, until: string): Promise<void> {
  const keys = page.getByRole("group", { name: "Keypad" });
  for (;;) {
    const asked = page.locator('.walk:not(.over) .where[aria-busy="false"]');
    await page.locator(until).or(asked).first().waitFor();
    if ((await page.locator(until).count()) > 0) return;
    const lane = /Lane (\d+)/.exec((await page.locator(".place-circuit").textContent()) ?? "")?.[1];
    const point = ((await page.locator(".place-point").textContent()) ?? "").replace("at the ", "");
    for (const digit of shown(Number(lane), point).replace(".", "")) {
      await keys.getByRole("button", { name: digit, exact: true }).click();
      taps += 1;
    }
    readings += 1;
    await page.locator(".count", { hasText: new RegExp(`^${readings} `) }).waitFor();
  }
}

const address = await pageAddress();
const browser = await launchChromium();
const context = await browser.newContext({ viewport: phone, offline: true });
const page = await context.newPage();
await page.goto(address);
await setUpPool(page, "Kestrel Bay");
await follow(page, ".done-head");
process.stdout.write(
  `eight lanes, one device, two faults: ${readings} readings, ${taps} taps: ${await page.locator(".done-head").textContent()}\n`,
);
let cures = 0;
for (const [place, action] of [
  ["3 plate", /^cleaned: lane 3 plate/],
  ["6 pod", /^cleaned: lane 6 touchpad pod/],
] as const) {
  readings = cures;
  await page.locator(".done-card button.main").click();
  const card = page.locator("details.suspect", { has: page.getByRole("button", { name: action }) });
  await card.locator("> summary").click();
  await card.getByRole("button", { name: action }).click();
  faults.delete(place);
  await page.locator(".outcome.open").waitFor();
  await follow(page, ".over .done-head");
  cures = readings;
}
process.stdout.write(
  `readings to confirm two cures: ${cures}: ${(await page.locator(".walk .outcome").allTextContents()).join(" ")}\n`,
);
await context.close();

/** Two hundred walks of eight lanes, every point read; in the last one lane 3's plate drops. */
function longSeason(): string {
  const rows = ["lane,device,point,volts,taken_at"];
  faults.set("3 plate", 79);
  for (let walk = 0; walk < 200; walk++)
    for (let lane = 1; lane <= 8; lane++)
      for (const [at, point] of order.entries()) {
        const moment = new Date(Date.UTC(2024, 0, 1 + 3 * walk, 8, 4 * lane + at));
        const volts =
          walk === 199 ? shown(lane, point) : (4.95 + 0.01 * ((walk + lane + at) % 5)).toFixed(2);
        rows.push(`${lane},touchpad,${point},${volts},${moment.toISOString().slice(0, 19)}Z`);
      }
  return `${rows.join("\n")}\n`;
}

const other = await browser.newContext({ viewport: phone, offline: true });
const season = await other.newPage();
season.setDefaultTimeout(600_000);
await season.goto(address);
await setUpPool(season, "Kestrel Bay");
await openTab(season, "Files");
const buffer = Buffer.from(longSeason());
await season.locator("#picker").setInputFiles([{ name: "long.csv", mimeType: "text/csv", buffer }]);
await season.getByText("long.csv: 6400 readings.").waitFor();
for (const how of ["new to the page", "known to it"]) {
  await season.reload();
  await openTab(season, "Result");
  const decide = season.getByRole("button", { name: "Work out: clean or replace" });
  await decide.waitFor();
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
await browser.close();
