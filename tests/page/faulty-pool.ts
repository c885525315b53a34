import type { Page } from "playwright-core";

/** A pool of eight lanes with two bad contacts, read and cured by the page's own keys. */

/** Copper and sound contacts up to each point, from the timer out [ohm]. */
const sound: Readonly<Record<string, number>> = { timer: 0.3, harness: 1.1, plate: 3.3, pod: 3.8 };
export const points = Object.keys(sound);

/** What a meter of 1000 ohms shows there with these drops [ohm]: the divider, by hand. */
export function shownAt(faults: ReadonlyMap<string, number>, lane: number, point: string): string {
  const passed = points.slice(0, points.indexOf(point) + 1);
  const film = passed.reduce((sum, at) => sum + (faults.get(`${lane} ${at}`) ?? 0), 0);
  return (5000 / (1000 + (sound[point] ?? 0) + film)).toFixed(2);
}

interface Taken {
  readonly readings: number;
  readonly taps: number;
}

/** Reads whatever the page asks for, until what `until` selects is there; `before` readings stand already. */
async function follow(
  page: Page,
  faults: ReadonlyMap<string, number>,
  until: string,
  before: number,
): Promise<Taken> {
  const keys = page.getByRole("group", { name: "Keypad" });
  let readings = before;
  let taps = 0;
  for (;;) {
    const asked = page.locator('.walk:not(.over) .where[aria-busy="false"]');
    await page.locator(until).or(asked).first().waitFor();
    if ((await page.locator(until).count()) > 0) return { readings: readings - before, taps };
    const lane = /Lane (\d+)/.exec((await page.locator(".place-circuit").textContent()) ?? "")?.[1];
    const point = ((await page.locator(".place-point").textContent()) ?? "").replace("at the ", "");
    for (const digit of shownAt(faults, Number(lane), point).replace(".", "")) {
      await keys.getByRole("button", { name: digit, exact: true }).click();
      taps += 1;
    }
    readings += 1;
    await page.locator(".count", { hasText: new RegExp(`^${readings} `) }).waitFor();
  }
}

/** Lane 3's plate drops, and lane 6's pod [ohm]. */
const bad = [
  ["3 plate", 79, "Lane 3 plate connector", /^cleaned: lane 3 plate/],
  ["6 pod", 115, "Lane 6 touchpad pod terminals", /^cleaned: lane 6 touchpad pod/],
] as const;

/** The two, and what each takes up [ohm]. */
export const badPlaces: ReadonlyMap<string, number> = new Map(
  bad.map(([place, ohms]) => [place, ohms]),
);

/** The first walk, as the page guides it: what it took, and what it ends with. */
export async function firstWalk(page: Page): Promise<Taken & { readonly end: readonly string[] }> {
  const taken = await follow(page, badPlaces, ".done-head", 0);
  return { ...taken, end: await page.locator(".done-list li").allTextContents() };
}

/** Both cleaned, one after the other, and read again as the page asks for it. */
export async function cureBoth(page: Page): Promise<Taken & { readonly end: readonly string[] }> {
  const faults = new Map(badPlaces);
  let [readings, taps] = [0, 0];
  for (const [place, , title, action] of bad) {
    await page.locator(".done-card button.main").click();
    const card = page.locator("details.suspect", { hasText: title });
    await card.locator("> summary").click();
    await card.getByRole("button", { name: action }).click();
    faults.delete(place);
    await page.locator(".outcome.open").waitFor();
    const taken = await follow(page, faults, ".over .done-head", readings);
    [readings, taps] = [readings + taken.readings, taps + taken.taps];
  }
  return { readings, taps, end: await page.locator(".walk .outcome").allTextContents() };
}
