import { describe, expect, test } from "vitest";
import type { Costs } from "../../src/domain/costs.ts";
import type { Choice } from "../../src/economics/choices.ts";
import { MovedAssumptions } from "../../src/economics/move-assumptions.ts";
import type { OptionsBase } from "../../src/economics/option-parts.ts";
import type { Track } from "../../src/economics/track.ts";
import { costs, group, pool, track } from "./hand-made.ts";

const quiet = { isNew: false, now: { cleanings: 0, replacements: 0 } };

/** Options that keep one plate by one track each, however its contacts go. */
function optionsOf(tracks: readonly Track[], changed: Partial<Costs>): OptionsBase {
  const groups = [group([1])];
  const choices = tracks.map(
    (each, k): Choice => ({
      id: k === 0 ? "plan" : `other-${k}`,
      kind: "plan",
      label: "",
      replaced: [],
      kept: (given) =>
        given.map((one) => ({ group: one, branches: [{ share: 1, track: each, bought: null }] })),
    }),
  );
  const kept = choices.map((choice) => choice.kept(groups, null as never));
  return { pool, costs: { ...costs, ...changed }, groups, choices, kept };
}

const range = (low: number, value: number, high: number) => ({ low, value, high });

/** A plan of 9 cleanings against one replacement of 120 and none. */
const cleaning = track(8, { ...quiet, now: { cleanings: 9, replacements: 0 } });
const buying = track(8, { isNew: true, now: { cleanings: 0, replacements: 1 } });

describe("each assumption alone", () => {
  const base = optionsOf([cleaning, buying], { labourPerHour: range(30, 60, 240) });
  const rowsOf = () => new MovedAssumptions(base).oneByOne(1);
  const row = (name: string) => rowsOf().find(({ assumption }) => assumption === name)!;

  // Ten minutes a cleaning, twenty and a part of 100 a replacement: by the hour's price.
  test("prices are reckoned anew at either end", () => {
    expect(row("labour")).toMatchObject({ unit: "currency/h", base: 60 });
    const { low, high } = row("labour");
    expect(low.value).toBe(30);
    expect(low.lifeCycleCosts[0]).toBeCloseTo(45, 9);
    expect(low.lifeCycleCosts[1]).toBeCloseTo(110, 9);
    expect(low.netSavings).toBeCloseTo(45 - 110, 9);
    expect(high.value).toBe(240);
    expect(high.lifeCycleCosts[0]).toBeCloseTo(360, 9);
    expect(high.lifeCycleCosts[1]).toBeCloseTo(180, 9);
    expect(high.netSavings).toBeCloseTo(180, 9);
  });

  test("whether the option that costs least changes at an end", () => {
    expect(row("labour")).toMatchObject({
      low: { best: "plan" },
      high: { best: "other-1" },
      changesRanking: true,
    });
    expect(row("price of a lost lane")).toMatchObject({
      low: { best: "plan" },
      changesRanking: false,
    });
  });

  test("multiples of a group's own prices", () => {
    const parts = row("price of parts");
    expect(parts.base).toBe(1);
    expect(parts.low.lifeCycleCosts[1]).toBeCloseTo(100 * parts.low.value + 20, 9);
    expect(parts.high.lifeCycleCosts[1]).toBeCloseTo(100 * parts.high.value + 20, 9);
    expect(parts.high.lifeCycleCosts[0]).toBeCloseTo(90, 9);
    const minutes = row("minutes of work");
    expect(minutes.high.lifeCycleCosts[0]).toBeCloseTo(90 * minutes.high.value, 9);
  });

  test("the widest swing of the followed option's net savings stands first", () => {
    const rows = rowsOf();
    const swings = rows.map(({ low, high }) => Math.abs(high.netSavings - low.netSavings));
    expect(rows[0]!.assumption).toBe("labour");
    expect(swings).toEqual(swings.toSorted((a, b) => b - a));
    expect(swings.at(-1)).toBe(0);
  });
});

describe("a figure that may be nothing", () => {
  // A rate from 0 to 10 % about 2 %: a cost of 10 in each of two years.
  test("moves evenly to its ends and not in logarithms", () => {
    const kept = track(8, { ...quiet, cleanings: [1, 0, 0, 0, 1] });
    const base = optionsOf([kept, buying], { discountRate: range(0, 0.02, 0.1) });
    const rows = new MovedAssumptions(base).oneByOne(1);
    const rate = rows.find(({ assumption }) => assumption === "discount rate")!;
    expect(rate.low.lifeCycleCosts[0]).toBeCloseTo(20, 9);
    expect(rate.high.lifeCycleCosts[0]).toBeCloseTo(10 / 1.1 + 10 / 1.21, 9);
  });
});

// What a course does is followed anew; here the growth of a contact doubles what is cleaned.
test("a moved course changes the parts by the ratios of what is followed", () => {
  const base = optionsOf([cleaning, buying], {});
  const grows: Choice = {
    ...base.choices[0]!,
    kept: (groups) =>
      groups.map((one) => {
        const rate = one.law.modes[0]!.rate / group([1]).law.modes[0]!.rate;
        const each = track(8, { ...quiet, now: { cleanings: 9 * rate, replacements: 0 } });
        return { group: one, branches: [{ share: 1, track: each, bought: null }] };
      }),
  };
  const moved = new MovedAssumptions({ ...base, choices: [grows, base.choices[1]!] });
  const growth = moved
    .oneByOne(1)
    .find(({ assumption }) => assumption === "growth of contact resistance")!;
  expect(growth.low.lifeCycleCosts[0]).toBeCloseTo(45, 9);
  expect(growth.high.lifeCycleCosts[0]).toBeCloseTo(180, 9);
  expect(growth.high.lifeCycleCosts[1]).toBeCloseTo(120, 9);
});

describe("all assumptions jointly", () => {
  const still = { least: 0 };
  test("an option that is cheaper whatever is assumed saves for certain, a dearer one never", () => {
    const free = track(8, { ...quiet, ...still });
    const dear = track(8, { ...quiet, now: { cleanings: 90, replacements: 9 } });
    const base = optionsOf([cleaning, free, dear], {});
    expect(new MovedAssumptions(base).chancesToSave()).toEqual([0, 1, 0]);
  });

  // The plan cleans nine times at 10 minutes; the option fits a plate for 100 and 20 minutes. Minutes
  // and parts move by factors whose ends are 5 % and 95 % points of log-normal halves; the option saves
  // where 90 x minutes > 100 x parts + 20 x minutes.
  test("chances are those of log-normal figures with their ends at 5 and 95 %", () => {
    const base = optionsOf([cleaning, buying], {});
    const [, chance] = new MovedAssumptions(base).chancesToSave();
    const rows = new MovedAssumptions(base).oneByOne(1);
    const ends = (name: string) => {
      const { low, high } = rows.find(({ assumption }) => assumption === name)!;
      return [low.value, high.value] as const;
    };
    const [parts, minutes] = [ends("price of parts"), ends("minutes of work")];
    const at = ([low, high]: readonly [number, number], score: number): number =>
      (score < 0 ? low : high) ** (Math.abs(score) / 1.6448536);
    let [saved, all] = [0, 0];
    // A grid of normal weights, 0.05 apart.
    for (let x = -4; x <= 4; x += 0.05)
      for (let y = -4; y <= 4; y += 0.05) {
        const weight = Math.exp(-(x * x + y * y) / 2);
        all += weight;
        if (70 * at(minutes, y) > 100 * at(parts, x)) saved += weight;
      }
    expect(Math.abs(chance! - saved / all)).toBeLessThan(0.03);
  });
});
