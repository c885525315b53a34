import { expect, test } from "vitest";
import { dayNumber } from "../../../src/domain/calendar.ts";
import type { CleaningScore } from "../../../src/history/cleaning-record.ts";
import { cleaningEffect } from "../../../src/report/charts/cleaning-effect.ts";
import { contactHistory } from "../../../src/report/charts/contact-history.ts";
import { controlChart } from "../../../src/report/charts/control-chart.ts";
import { optionsCost } from "../../../src/report/charts/options-cost.ts";
import { sensitivity } from "../../../src/report/charts/sensitivity.ts";
import { moneyText } from "../../../src/report/names.ts";
import { memo } from "../memo-fixture.ts";
import { checkChart, marks, texts } from "./check.ts";

const day = (index: number): string =>
  new Date(Date.UTC(2026, 0, 3 + 7 * index)).toISOString().slice(0, 10);
const around = (median: number) => ({ median, low: median * 0.8, high: median * 1.25 });

test("a contact's history draws each walk, each work, the fan and the limit", async () => {
  const chart = contactHistory({
    lane: 3,
    device: "touchpad",
    end: null,
    point: "plate",
    walks: [5, 9, 16, 30, 2, 4, 7, 12].map((ohms, index) => ({
      day: day(index),
      ohms: around(ohms),
    })),
    work: [{ day: day(3.6), action: "cleaned" }],
    forecast: [0, 1, 2, 3, 4, 5].map((ahead) => ({
      day: day(7 + ahead),
      ohms: { median: 12 * 1.5 ** ahead, low: 12 * 1.3 ** ahead, high: 12 * 1.75 ** ahead },
    })),
    limitOhms: 40,
    crossing: { median: "2026-03-14", low: "2026-03-07", high: "2026-03-28" },
  });
  const svg = await checkChart(chart);
  expect(chart.finding).toBe(
    "Lane 3 touchpad, plate contact: its path reaches the limit about 2026-03-14",
  );
  expect(marks(svg, "mark-symbol")).toBe(8);
  // Eight intervals, one work, one limit.
  expect(marks(svg, "mark-rule")).toBe(8 + 1 + 1);
  expect(marks(svg, "mark-area")).toBe(1);
  expect(texts(svg)).toEqual(expect.arrayContaining(["cleaned", "limit"]));
});

test("an open contact and one without a forecast are still drawn", async () => {
  const open = { median: Number.POSITIVE_INFINITY, low: 900, high: Number.POSITIVE_INFINITY };
  const chart = contactHistory({
    lane: 7,
    device: "button-1",
    end: null,
    point: "pod",
    walks: [
      { day: day(0), ohms: around(3) },
      { day: day(1), ohms: open },
    ],
    work: [],
    forecast: [],
    limitOhms: null,
    crossing: null,
  });
  const svg = await checkChart(chart);
  expect(chart.finding).toContain("no crossing of the limit in sight");
  expect(marks(svg, "mark-symbol")).toBe(2);
});

test("a path at its limit has what was found for a title, and no forecast", async () => {
  const open = { median: Number.POSITIVE_INFINITY, low: 900, high: Number.POSITIVE_INFINITY };
  const series = {
    ...{ lane: 7, device: "button-1", end: null, point: "pod", work: [], forecast: [] },
    walks: [
      { day: day(0), ohms: around(3) },
      { day: day(1), ohms: around(121) },
    ],
    limitOhms: 40,
    crossing: { median: day(1), low: day(1), high: day(1) },
  };
  const chart = contactHistory(series);
  const svg = await checkChart(chart);
  expect(chart.finding).toBe(
    `Lane 7 button-1, pod contact: 121 Ω on ${day(1)}, over the limit of 40 Ω`,
  );
  expect(marks(svg, "mark-area")).toBe(0);
  const broken = contactHistory({ ...series, walks: [{ day: day(1), ohms: open }] });
  expect(texts(await checkChart(broken))).toContain("open");
  expect(broken.finding).toContain(`open on ${day(1)}`);
});

const score = (index: number, before: number, after: number, film: number): CleaningScore => ({
  lane: 3,
  device: "touchpad",
  end: null,
  point: "plate",
  day: index,
  date: day(index),
  minutes: 12,
  beforeOhms: around(before),
  afterOhms: around(after),
  hadTrouble: before > 5 ? 0.98 : 0.02,
  film,
  recovered: 0.9,
  weeksHeld: 3,
  heldUntil: "trouble",
});

test("each cleaning has its before, its after and a verdict", async () => {
  const unseen = { ...score(4, 60, 2, 0.6), afterOhms: null };
  const chart = cleaningEffect([
    score(0, 85, 1.2, 0.95),
    score(1, 60, 55, 0.08),
    score(2, 0.5, 0.4, 0.7),
    score(3, 40, 2, 0.9),
    unseen,
  ]);
  const svg = await checkChart(chart);
  // Three had trouble and a walk on either side; two of them came back.
  expect(chart.finding).toBe("2 of 3 cleanings removed what was there");
  expect(marks(svg, "mark-symbol")).toBe(8);
  expect(texts(svg).filter((text) => text.includes("nothing to cure")).length).toBe(1);
});

test("a value outside the control limits is a diamond with its volts", async () => {
  const volts = [4.95, 4.94, 4.96, 4.95, 4.7, 4.95];
  const series = {
    lane: 3,
    device: "touchpad",
    end: null,
    point: "pod",
    readings: volts.map((value, index) => ({
      walk: day(index),
      day: dayNumber(day(index))!,
      volts: value,
      expected: 4.95,
      flagged: value < 4.9,
    })),
    doubted: 0,
    limits: { centre: 0, low: -0.04, high: 0.04, meanRange: 0.015, rangeHigh: 0.05 },
  };
  const chart = controlChart(series);
  const svg = await checkChart(chart);
  expect(chart.finding).toContain(`1 of 6 readings is not as expected, first on ${day(4)}`);
  expect(texts(svg)).toContain("4.70 V");
  expect(marks(svg, "mark-symbol")).toBe(6);
  expect(marks(svg, "mark-rule")).toBe(3);
  const short = controlChart({ ...series, limits: null });
  await checkChart(short);
  expect(short.finding).toContain("too few readings to say what is usual");
});

test("options are stacked from their parts and the cheapest is named", async () => {
  const chart = optionsCost(memo);
  const svg = await checkChart(chart);
  expect(chart.finding).toBe(
    `Replace the 2 worst connectors costs least over 10 years: ${moneyText(memo.options[1]!.lifeCycleCost, "EUR")}`,
  );
  // Three options of four parts each.
  expect(marks(svg, "mark-rect")).toBe(12);
  expect(texts(svg).filter((text) => text.endsWith(", least")).length).toBe(1);
  expect(texts(svg)).toEqual(expect.arrayContaining(["lost lanes", "later replacements"]));
});

test("the stacked parts of an option add up to its life-cycle cost", () => {
  const spec = optionsCost(memo).spec as unknown as {
    layer: { data: { values: { option: string; amount: number }[] } }[];
  };
  const parts = spec.layer[0]!.data.values;
  for (const option of memo.options) {
    const sum = parts
      .filter((one) => one.option === option.label)
      .reduce((total, one) => total + one.amount, 0);
    // The fixture discounts by itself: year t by 1.03^-t, as ASTM E917 does for end-of-year flows.
    expect(sum).toBeCloseTo(option.lifeCycleCost, 6);
  }
});

test("the tornado ranks the assumptions and says what changes the ranking", async () => {
  const chart = sensitivity(memo);
  const svg = await checkChart(chart);
  expect(chart.finding).toBe("Another option is cheapest at the low end of price of a lost lane");
  expect(marks(svg, "mark-rect")).toBe(6);
  const drawn = texts(svg);
  expect(drawn.indexOf("price of a lost lane")).toBeLessThan(drawn.indexOf("discount rate"));
  expect(drawn).toEqual(
    expect.arrayContaining(["1 % a year", "7 % a year", "50 EUR ◆", "500 EUR", "× 0.5", "× 2"]),
  );
});
