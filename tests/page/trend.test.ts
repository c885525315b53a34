import { expect, test } from "vitest";
import { violations } from "./axe.ts";
import { deckBrowser } from "./deck-browser.ts";
import { keepPicture, openTab, phone, pickFiles, watchedPage } from "./deck-page.ts";

/** A season on the phone: one picture a lane, the lane that falls first. */

const deck = deckBrowser();

const pool = "pool: Kestrel Bay\nmodel: plain\nlanes: 3\ndevices: [touchpad]\n";
const days = ["04-04", "04-11", "04-18", "04-25", "05-02", "05-09"];
/** Volts at the pod: lane 2's contact doubles from week to week, 5000 / (1000 + 3 Ω + contact) by hand. */
const ohms: Readonly<Record<number, (week: number) => number>> = {
  1: () => 0.2,
  2: (week) => 1 * 2 ** week,
  3: (week) => (week === 3 ? 0.4 : 0.2),
};
const rows = days.flatMap((day, week) =>
  Object.entries(ohms).flatMap(([lane, of]) =>
    ["plate", "pod"].map((point, at) => {
      const volts = 5000 / (1000 + 3 * (0.9 + 0.1 * at) + (at === 1 ? of(week) : 0));
      return `${lane},touchpad,${point},${volts.toFixed(2)},2026-${day}T08:0${lane}:${10 + at}`;
    }),
  ),
);
const sheet = `lane,device,point,volts,taken_at\n${rows.join("\n")}\n`;

test("each lane has its picture: what was read, the limit, and a date only where a fall was seen", async () => {
  const context = await deck.browser.newContext({ viewport: phone, offline: true });
  const { page, errors } = await watchedPage(context);
  await page.goto(deck.address);
  await pickFiles(page, { "pool.yaml": pool, "readings.csv": sheet });
  await page.getByText("readings.csv: 36 readings.").waitFor();
  await openTab(page, "Day");
  await page.locator('.day [aria-busy="false"]').waitFor();
  await page.locator("summary", { hasText: "Each lane’s trend" }).click();

  const figures = page.locator(".lane-trend");
  const captions = await figures.locator("figcaption").allTextContents();
  expect(captions).toEqual([
    expect.stringMatching(/^Lane 2 at its limit about 2026-\d\d-\d\d$/),
    "Lane 1 holds",
    "Lane 3 holds",
  ]);
  // Seven weeks on the contact has 64 Ω, and 41.67 Ω in all is the limit of 4.8 V: between 9 and 23 May.
  const day = captions[0]!.slice(-10);
  expect(day > "2026-05-05" && day < "2026-05-30").toBe(true);
  const drawing = figures.first().locator("svg");
  expect(await drawing.getAttribute("aria-label")).toMatch(
    /^Lane 2: 2026-04-04 4\.98\sV, .*2026-05-09 4\.8\d\sV; at its limit about 2026-/,
  );
  expect(await drawing.locator("circle").count()).toBe(days.length);
  expect(await drawing.locator(".ahead, .limit").count()).toBe(2);
  expect(await figures.nth(1).locator(".ahead").count()).toBe(0);

  await figures.first().evaluate((node) => node.scrollIntoView({ block: "start" }));
  expect(await keepPicture(page, "trend")).toBeGreaterThan(5000);

  // Nothing of a picture is cut off, no words lie on each other, and none is wider than the phone.
  const boxes = await figures.locator("svg").evaluateAll((drawings) =>
    drawings.map((one) => {
      const whole = one.getBoundingClientRect();
      const texts = [...one.querySelectorAll("text")].map((node) => node.getBoundingClientRect());
      const cut = [...one.querySelectorAll("text, circle, line, polyline")].filter((node) => {
        const box = node.getBoundingClientRect();
        const [dx, dy] = [whole.left - box.left, whole.top - box.top];
        return Math.max(dx, dy, box.right - whole.right, box.bottom - whole.bottom) > 1;
      });
      const clash = texts.flatMap((a, i) =>
        texts.slice(i + 1).filter((b) => {
          const across = Math.min(a.right, b.right) - Math.max(a.left, b.left);
          return across > 1 && Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) > 1;
        }),
      );
      return {
        cut: cut.map((node) => node.outerHTML),
        clash: clash.length,
        wide: whole.right > window.innerWidth,
      };
    }),
  );
  expect(boxes).toEqual(Array(3).fill({ cut: [], clash: 0, wide: false }));
  expect(await violations(page)).toEqual([]);
  expect(errors).toEqual([]);
  await context.close();
});
