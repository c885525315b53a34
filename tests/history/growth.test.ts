import { expect, test } from "vitest";
import { contactHistories } from "../../src/history/contact-history.ts";
import { fitClass } from "../../src/history/growth.ts";
import { inventSeason } from "./season.ts";
import { findingOf, poolOf, random, walkOf } from "./synthetic.ts";

const pool = poolOf(8, ["plate"]);

/** Eight contacts read weekly by a fine meter; `wild` multiplies what one walk finds in all. */
function plates(weeks: readonly number[][], wild: { week: number; factor: number } | null) {
  const { normal } = random(11);
  const growth = weeks.map(() => 0.15 + 0.03 * normal());
  const noise = weeks.map((own) => own.map(() => 0.1 * normal()));
  const last = Math.max(...weeks.flat());
  const walks = Array.from({ length: last + 1 }, (_, week) =>
    walkOf(
      7 * week,
      weeks.flatMap((own, i) => {
        const at = own.indexOf(week);
        if (at < 0) return [];
        const factor = wild?.week === week ? wild.factor : 1;
        const ohms = 0.3 * Math.exp(growth[i]! * week + noise[i]![at]!) * factor;
        return [findingOf(pool, { lane: i + 1, device: "touchpad", point: "plate" }, ohms, 0.05)];
      }),
      0.15,
    ),
  );
  return { growth, ...fitClass(contactHistories(pool, walks, []), pool.contact) };
}

const everyWeek = Array.from({ length: 25 }, (_, week) => week);
const allEveryWeek = Array.from({ length: 8 }, () => everyWeek);

test("growth of finely read contacts comes out within its own error", () => {
  const found = plates(allEveryWeek, null);
  const mean = found.growth.reduce((sum, value) => sum + value, 0) / 8;
  expect(Math.abs(found.class.growth - mean)).toBeLessThan(0.01);
  for (const [i, { fit }] of found.contacts.entries()) {
    const off = (fit.growth - found.growth[i]!) / Math.sqrt(fit.growthVariance);
    expect(Math.abs(off)).toBeLessThan(3);
  }
});

test("one wild walk among 25 does not move any contact's growth by more than half its error", () => {
  const tame = plates(allEveryWeek, null);
  for (const week of [3, 12, 24]) {
    const wild = plates(allEveryWeek, { week, factor: 20 });
    for (const [i, { fit }] of wild.contacts.entries()) {
      const before = tame.contacts[i]!.fit;
      const moved = Math.abs(fit.growth - before.growth) / Math.sqrt(before.growthVariance);
      expect(moved).toBeLessThan(0.5);
    }
  }
});

test("a lane with two walks borrows its growth from its neighbours, and says how unsure it is", () => {
  const found = plates([[0, 2], ...allEveryWeek.slice(1)], null);
  const [newcomer, ...others] = found.contacts.map(({ fit }) => fit);
  const spreadOf = found.class.betweenContacts;
  expect(Math.abs(newcomer!.growth - found.class.growth)).toBeLessThan(spreadOf);
  for (const { growthVariance } of others) {
    expect(newcomer!.growthVariance).toBeGreaterThan(3 * growthVariance);
  }
});

test("contacts that no walk has seen keep the growth that was assumed, cut at the top", () => {
  const walks = Array.from({ length: 53 }, (_, week) =>
    walkOf(
      7 * week,
      pool.lanes.map((lane) =>
        findingOf(pool, { lane, device: "touchpad", point: "plate" }, 0.2, 5),
      ),
    ),
  );
  const { contacts } = fitClass(contactHistories(pool, walks, []), pool.contact);
  for (const { fit } of contacts) {
    // From 0.2 to 15 ohm in a year would have shown: 0.083 a week.
    expect(fit.growth).toBeLessThan(0.083);
    expect(Math.sqrt(fit.growthVariance)).toBeGreaterThan(0.03);
  }
});

test("cleanings do not hide growth: contacts cleaned on the way give the same class", () => {
  const plan = { lanes: 8, betweenContacts: 0.02, scatter: 0.1, meterError: 0.05, weeks: 30 };
  const season = inventSeason({ ...plan, growth: { plate: 0.15 } }, 3);
  const histories = contactHistories(season.pool, season.walks, season.work);
  expect(histories.every(({ segments }) => segments.length === 2)).toBe(true);
  const found = fitClass(histories, season.pool.contact).class;
  expect(Math.abs(found.growth - 0.15)).toBeLessThan(2.5 * found.growthError);
  expect(found.growthError).toBeLessThan(0.02);
});
