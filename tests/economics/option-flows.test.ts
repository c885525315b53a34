import { describe, expect, test } from "vitest";
import {
  asFlows,
  fittedPrice,
  lostLanesAYear,
  optionYears,
} from "../../src/economics/option-flows.ts";
import { costs, group, pool, track } from "./hand-made.ts";

// By hand throughout: a cleaning costs 10 minutes at 60 an hour, 10; a replacement 100 and 20 minutes,
// 120; a look for a break 15.
describe("what an option costs, year by year", () => {
  test("the first walk's work falls on year 0, later work on the year of its quarter", () => {
    const kept = track(8, {
      now: { cleanings: 0.5, replacements: 0.25 },
      cleanings: [0, 1, 0, 0, 0, 0, 0, 2],
      replacements: [0, 0, 0, 0.5, 0.25, 0, 0, 0],
    });
    const branches = [{ share: 1, track: kept, bought: null }];
    const years = optionYears(pool, [{ group: group([1, 2]), branches }], costs, 8);
    expect(years.map(({ year }) => year)).toEqual([0, 1, 2]);
    // Two plates: 2 x 0.5 x 10, then 2 x 1 x 10, then 2 x 2 x 10.
    expect(years.map(({ cleaning }) => cleaning)).toEqual([10, 20, 40]);
    // 2 x 0.25 x 120, 2 x 0.5 x 120, 2 x 0.25 x 120.
    expect(years.map(({ renewing }) => renewing)).toEqual([60, 120, 60]);
    expect(years.map(({ replacing }) => replacing)).toEqual([0, 0, 0]);
    expect(years.map(({ total }) => total)).toEqual([70, 140, 100]);
  });

  test("a last year of two quarters is a year of its own", () => {
    const branches = [
      { share: 1, track: track(6, { cleanings: [0, 0, 0, 0, 0, 1] }), bought: null },
    ];
    const years = optionYears(pool, [{ group: group([1]), branches }], costs, 6);
    expect(years.map(({ cleaning }) => cleaning)).toEqual([0, 0, 10]);
  });

  test("a break is looked for once a connector, but not in one that is new", () => {
    const looks = group([1, 2], { looks: true });
    const old = [{ share: 1, track: track(4), bought: null }];
    const fresh = [{ share: 1, track: track(4, { isNew: true }), bought: null }];
    expect(optionYears(pool, [{ group: looks, branches: old }], costs, 4)[0]!.cleaning).toBe(30);
    expect(optionYears(pool, [{ group: looks, branches: fresh }], costs, 4)[0]!.cleaning).toBe(0);
  });

  test("what the option buys now is replacing, what breaks later is renewing", () => {
    const bought = track(4, {
      isNew: true,
      now: { cleanings: 0, replacements: 1 },
      replacements: [0, 0.5],
    });
    const branches = [
      { share: 0.5, track: track(4), bought: { track: bought, afterYear: 0 } },
      { share: 0.5, track: track(4, { now: { cleanings: 1, replacements: 0 } }), bought: null },
    ];
    const [now, first] = optionYears(pool, [{ group: group([1, 2]), branches }], costs, 4);
    expect(now).toMatchObject({ replacing: 120, renewing: 0, cleaning: 10 });
    expect(first).toMatchObject({ replacing: 0, renewing: 60, cleaning: 0 });
  });

  test("what is bought after a year falls on that year, and on none beyond the horizon", () => {
    const bought = track(8, { isNew: true, now: { cleanings: 0, replacements: 1 } });
    const at = (afterYear: number): readonly number[] =>
      optionYears(
        pool,
        [
          {
            group: group([1]),
            branches: [{ share: 1, track: track(8), bought: { track: bought, afterYear } }],
          },
        ],
        costs,
        8,
      ).map(({ replacing }) => replacing);
    expect(at(1)).toEqual([0, 120, 0]);
    expect(at(2)).toEqual([0, 0, 120]);
    expect(at(3)).toEqual([0, 0, 0]);
  });

  test("replacements are capital, cleaning and lost lanes operation, nothing is left over", () => {
    const row = { year: 1, replacing: 1, renewing: 2, cleaning: 4, lostLanes: 8, total: 15 };
    expect(asFlows([row])).toEqual([{ year: 1, investment: 3, operating: 12, residual: 0 }]);
    expect(fittedPrice(group([1]), costs)).toBe(120);
  });
});

// In the first quarter low a fifth of the time, open a tenth, coming and going three tenths; a low
// path or one that comes and goes costs a meet its lane half the time: 0.1 + 0.1 + 0.15 = 0.35.
describe("lanes lost", () => {
  const troubled = track(8, { low: [0.2], open: [0.1], intermittent: [0.3] });
  const kept = [{ group: group([1, 2]), branches: [{ share: 1, track: troubled, bought: null }] }];

  test("each contact's trouble loses its lane in a meet of that quarter", () => {
    // 2 lanes x 0.35 x 12 meets x 1000 / 4 quarters.
    const years = optionYears(pool, kept, costs, 8);
    expect(years[1]!.lostLanes).toBeCloseTo(2100, 9);
    expect(years[1]!.total).toBeCloseTo(2100, 9);
    expect(years[2]!.lostLanes).toBeCloseTo(0, 12);
  });

  test("a year's lanes, in the first and on average", () => {
    const { firstYear, onAverage } = lostLanesAYear(pool, kept, costs, 8);
    // 0.7 lanes a meet in one quarter of four, of eight; twelve meets.
    expect(firstYear).toBeCloseTo((0.7 / 4) * 12, 12);
    expect(onAverage).toBeCloseTo((0.7 / 8) * 12, 12);
    // A meet that swims in one lane of three meets a third of it.
    const third = lostLanesAYear(pool, kept, { ...costs, lanesAtRisk: 1 }, 8);
    expect(third.firstYear).toBeCloseTo(firstYear / 3, 12);
  });

  test("two contacts of one circuit add up as chances do, over what pads lose by themselves", () => {
    const own = { ...costs, ownFailure: { value: 0.1, low: 0.1, high: 0.1 } };
    const branches = [{ share: 1, track: track(4, { open: [0.5] }), bought: null }];
    const twice = [group([1]), group([1])].map((each) => ({
      group: each,
      branches: [...branches],
    }));
    // 1 - 0.9 x 0.5 x 0.5 = 0.775 of lane 1, less the 0.1 that is lost anyway.
    expect(lostLanesAYear(pool, twice, own, 1).firstYear).toBeCloseTo(12 * 0.675, 12);
  });

  test("a contact in every trouble at once loses its lane once", () => {
    const branches = [
      { share: 1, track: track(1, { low: [1], open: [1], intermittent: [1] }), bought: null },
    ];
    const all = [{ group: group([1]), branches }];
    expect(lostLanesAYear(pool, all, costs, 1).firstYear).toBeCloseTo(12, 12);
  });
});
