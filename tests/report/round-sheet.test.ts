import { describe, expect, test } from "vitest";
import { ohms } from "../../src/domain/units.ts";
import { readReadings } from "../../src/intake/read-readings.ts";
import { planRound } from "../../src/meet/round.ts";
import { roundCsv } from "../../src/report/round-csv.ts";
import { roundSheet } from "../../src/report/round-sheet.ts";
import { roundText } from "../../src/report/round-text.ts";
import { launchChromium } from "../chromium.ts";
import { kestrelBay } from "../meet/pool.ts";
import { poolFrom } from "../plain-pool.ts";

const meter = kestrelBay.meters[0]!;
const head = { date: "2026-06-12", by: "KM" };
const round = planRound(kestrelBay, meter);

/** Types a value into every empty volts cell, as a person in a spreadsheet does. */
const typed = (csv: string, volts: (row: number) => string): string =>
  csv
    .split("\r\n")
    .map((line, i) => (i === 0 ? line : line.replace(/^([^,]*,[^,]*,[^,]*),/, `$1,${volts(i)}`)))
    .join("\r\n");

describe("the sheet to type into", () => {
  test("what is typed imports with no editing: every row a reading, in the walk's order", () => {
    const sheet = readReadings(
      typed(roundCsv(round, head), (row) => (4.5 + row / 1000).toFixed(3)),
      kestrelBay,
      "round.csv",
    );
    expect(sheet.faults).toEqual([]);
    expect(sheet.warnings).toEqual([]);
    expect(sheet.rejected).toEqual([]);
    expect(sheet.readings.length).toBe(96);
    const stops = round.windows.flatMap((window) => window.stops);
    sheet.readings.forEach((reading, i) => {
      const { lane, device, point } = stops[i]!;
      expect(reading).toMatchObject({ lane, device, point, walk: "2026-06-12", by: "KM" });
      expect(reading.volts).toBeCloseTo(4.5 + (i + 1) / 1000, 9);
    });
    // The meter is marked as switched on at the start of each window, and nowhere else. By hand: 70 s
    // hold eight readings of 8 s, so 24 at the timer take 3 windows; a lane's harness and plate with its
    // opening take 63 s, its pods 24 s more: 3 + 8 * 2.
    const starts = round.windows.map((window) => window.stops[0]);
    expect(sheet.readings.filter((reading) => reading.meterOn).length).toBe(19);
    sheet.readings.forEach((reading, i) => {
      expect(reading.meterOn).toBe(starts.includes(stops[i]));
    });
  });

  test("decimal commas and units typed into it are understood as well", () => {
    const sheet = readReadings(
      typed(roundCsv(round, head), () => '"4,91 V"'),
      kestrelBay,
      "round.csv",
    );
    expect(sheet.readings.length).toBe(96);
    expect(sheet.readings.every((reading) => reading.volts === 4.91)).toBe(true);
  });

  test("points that nobody could reach are listed, not lost", () => {
    const sheet = readReadings(
      typed(roundCsv(round, head), (row) => (row % 2 === 0 ? "4.9" : "")),
      kestrelBay,
      "round.csv",
    );
    expect(sheet.readings.length).toBe(48);
    expect(sheet.readings.length + sheet.rejected.length).toBe(96);
  });
});

describe("the sheet to print", () => {
  const html = roundSheet(round, head);

  test("lanes by points: a box for every reading, and what would matter, who and when", () => {
    expect(html.match(/class="read"/g)?.length).toBe(96);
    expect(html.match(/scope="rowgroup"/g)?.length).toBe(8);
    expect(html).toContain("4.89 to 5.10");
    expect(html).toContain("drop over 0.07");
    expect(html).toContain("Under 4.80 V at the pod");
    expect(html).toContain("<dd>KM</dd>");
    expect(html).toContain("2026-06-12");
  });

  test("the caution stands on it, and it prints on any paper", () => {
    expect(html).toContain("mains and fixed wiring for the licensed");
    expect(html).toContain("@page { margin: 10mm; }");
    expect(html).not.toMatch(/size:\s*(A4|letter)/i);
    expect(html).not.toContain("<script");
  });

  test("a point that a circuit does not pass has no box, and each end has a page of its own", () => {
    const pool = poolFrom({ ...kestrelBay, lanes: [1, 2] });
    const [first, second] = pool.circuits;
    const far = pool.circuits.map((one) => ({ ...one, end: "turn" }));
    const short = { ...first!, end: "start", path: first!.path.slice(0, 3) };
    const both = { ...pool, ends: ["start", "turn"], circuits: [short, ...far] };
    const page = roundSheet(planRound(both, meter), head);
    expect(second).toBeDefined();
    expect(page.match(/<section>/g)?.length).toBe(2);
    expect(page).toContain("turn end");
    expect(page.match(/class="read"/g)?.length).toBe(3 + 6 * 4);
  });

  test("names are text, whatever they hold", () => {
    const nasty = "<img src=x onerror=alert(1)>";
    const pool = { ...kestrelBay, name: nasty, lanes: [nasty], devices: [nasty] };
    const page = roundSheet(planRound(pool, meter), { date: "2026-06-12", by: nasty });
    expect(page).not.toContain("<img");
    expect(page).toContain("&lt;img src=x onerror=alert(1)&gt;");
  });

  test("without the meter's load it says what to measure first", () => {
    const blind = planRound(kestrelBay, { ...meter, loadOhms: null });
    expect(roundSheet(blind, head)).toContain("measure its load first");
    expect(roundText(blind, head).replace(/\s+/g, " ")).toContain("measure its load first");
    expect(roundCsv(blind, head)).toContain(",,\r\n");
    const other = planRound(kestrelBay, { ...meter, loadOhms: ohms(200) });
    // By hand: 5 * 200 / (200 + 3.0 + 1.0) = 4.90 at the pod, for this meter and this pool.
    expect(other.expected?.at(-1)?.median).toBeCloseTo(4.9, 1);
    expect(other.expected?.at(-1)?.median).toBeLessThan(4.93);
  });
});

test("eight lanes of three devices are one page of A4 and one of Letter", async () => {
  const browser = await launchChromium();
  const page = await browser.newPage();
  await page.setContent(roundSheet(round, head));
  for (const format of ["A4", "Letter"]) {
    const pdf = (await page.pdf({ format })).toString("latin1");
    expect(pdf.match(/\/Type\s*\/Page\b(?!s)/g)?.length, format).toBe(1);
  }
  await browser.close();
}, 200_000);
