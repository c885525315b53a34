import { describe, expect, test } from "vitest";
import { diagnose } from "../../src/diagnosis/diagnose.ts";
import { costsOf } from "../../src/domain/costs.ts";
import { circuitKey, type Lane } from "../../src/domain/place.ts";
import type { Pool } from "../../src/domain/pool.ts";
import type { Reading } from "../../src/domain/reading.ts";
import { volts } from "../../src/domain/units.ts";
import type { UpkeepGroup } from "../../src/economics/upkeep.ts";
import { upkeepGroups } from "../../src/economics/upkeep-groups.ts";
import { followOptions, worthAsking } from "../../src/economics/weigh-options.ts";
import { readPool } from "../../src/intake/pool/read-pool.ts";
import { type Desk, openDesk } from "../../src/policy/desk.ts";

/** An invented pool of plates alone, looked at twice a year, so that all of it is quickly followed. */
function poolOf(lanes: number, devices = "[touchpad]"): Pool {
  const read = readPool(
    `pool: Kestrel Bay\nmodel: plain\nlanes: ${lanes}\ndevices: ${devices}\n` +
      "chain: [{ point: plate, connector: wall plate, shared_by: lane, wire_ohms: 2 }]\n" +
      "costs: { check_weeks: 26, horizon_years: 2 }\n",
    "pool.yaml",
  );
  if (!read.ok) throw new Error(read.error[0]?.message);
  return read.value;
}

/** What each plate reads, of one device only if it is said, twice each; else 4.99 V. */
function deskOf(pool: Pool, shown: Readonly<Record<number, number>>, only = ""): Desk {
  const twice = pool.circuits.flatMap((one) => [one, one]);
  const readings = twice.map(
    ({ lane, device }, k): Reading => ({
      ...{ lane, device, end: null, point: "plate", line: k + 2 },
      ...{
        volts: volts(device.startsWith(only) ? (shown[lane as number] ?? 4.99) : 4.99),
        step: volts(0.01),
      },
      ...{ takenAt: null, walk: "2026-05-02", meter: "deck", id: null, meterOn: false },
      ...{ state: "rest", by: null, note: null },
    }),
  );
  const walk = diagnose(pool, readings);
  return openDesk({ pool, walk, trend: null, costs: costsOf(pool) });
}

/** Laid out once, by the first test that asks. */
function once<T>(make: () => T): () => T {
  let made: T | undefined;
  return () => {
    made ??= make();
    return made;
  };
}

const fouled = once(() => deskOf(poolOf(4), { 2: 3.8 }));
const sound = once(() => deskOf(poolOf(3), {}));
const open = once(() => deskOf(poolOf(3), { 3: 0 }));
const lanesIn = ({ places }: UpkeepGroup): readonly (Lane | null)[] =>
  places.map(({ lane }) => lane);

describe("a walk's connectors in groups", () => {
  test("the suspect stands alone, the others of its kind together", () => {
    const [suspect, others, ...more] = upkeepGroups(fouled());
    expect(more).toEqual([]);
    expect(lanesIn(suspect!)).toEqual([2]);
    expect(suspect).toMatchObject({ suspect: true, looks: false });
    expect(suspect!.first).not.toBe("wait");
    expect(lanesIn(others!).toSorted()).toEqual([1, 3, 4]);
    expect(others).toMatchObject({
      suspect: false,
      first: "wait",
      looks: false,
      kind: suspect!.kind,
    });
  });

  test("a group's contact is the average of its connectors'", () => {
    const [, others] = upkeepGroups(fouled());
    const [contact, ...more] = others!.contacts;
    expect(more).toEqual([]);
    expect(contact!.copies).toBe(1);
    expect(contact!.circuits).toHaveLength(3);
    for (const { share, belief } of contact!.beliefs) {
      expect(share).toBeCloseTo(1 / 3, 12);
      expect(belief.reduce((sum, { weight }) => sum + weight, 0)).toBeCloseTo(1, 9);
    }
    expect(contact!.rule).toEqual(contact!.ruleWhenNew);
  });

  test("prices and life are those of the link", () => {
    const desk = fouled();
    const [suspect] = upkeepGroups(desk);
    expect(suspect!.costs).toBe(desk.input.costs.connectors["plate"]);
    expect(suspect!.law).toEqual(desk.kinds[0]!.law);
  });

  test("without a suspect the first of the ranking stands alone all the same", () => {
    const groups = upkeepGroups(sound());
    expect(groups.map(({ places }) => places.length)).toEqual([1, 2]);
    expect(groups.every(({ suspect, first }) => !suspect && first === "wait")).toBe(true);
    const [first] = sound().input.walk.connectors;
    expect(lanesIn(groups[0]!)).toEqual([first!.lane]);
  });

  test("a break is looked for first, and what is believed is what the look leaves", () => {
    const [broken] = upkeepGroups(open());
    expect(lanesIn(broken!)).toEqual([3]);
    expect(broken).toMatchObject({ looks: true, suspect: true });
    const isOpen = (of: UpkeepGroup) =>
      of.contacts[0]!.beliefs[0]!.belief.filter(({ state }) => state.startsWith("open")).reduce(
        (sum, { weight }) => sum + weight,
        0,
      );
    const [, others] = upkeepGroups(open());
    expect(others!.looks).toBe(false);
    // Some breaks are mended by the look, so less is open than was.
    const before = open().input.walk.contacts.find(({ lane }) => lane === 3)!.open;
    expect(isOpen(broken!)).toBeLessThan(before);
    expect(isOpen(broken!)).toBeGreaterThan(0.1);
  });

  test("contacts of one plate that cost alike are copies of one", () => {
    const desk = deskOf(poolOf(2, "[touchpad, button-1]"), {});
    const [alone, other] = upkeepGroups(desk);
    for (const one of [alone!, other!])
      expect(one.contacts.reduce((sum, { copies }) => sum + copies, 0)).toBeCloseTo(2, 12);
    expect(alone!.kind).toBe(other!.kind);
    expect(alone!.kind).not.toBe(upkeepGroups(sound())[0]!.kind);
  });
});

describe("contacts of one plate", () => {
  const two = "[touchpad, button-1]";
  const lone = once(() => deskOf(poolOf(2, two), { 1: 3.9 }, "touchpad"));

  test("that is over its limit by itself is followed by itself", () => {
    const [suspect] = upkeepGroups(lone());
    expect(lanesIn(suspect!)).toEqual([1]);
    expect(suspect!.contacts.map(({ copies, circuits }) => [copies, circuits.length])).toEqual([
      [1, 1],
      [1, 1],
    ]);
  });

  test("of a group are put together by what their failing costs, however they stand", () => {
    const desk = lone();
    const [, sound] = upkeepGroups(desk);
    const prices = new Set(
      desk.input.pool.circuits.map((one) =>
        Math.round(2 * Math.log(desk.failureCosts(circuitKey(one)))),
      ),
    );
    expect(sound!.contacts).toHaveLength(prices.size);
    const circuits = sound!.contacts.flatMap((one) => one.circuits);
    expect(new Set(circuits).size).toBe(2);
  });

  test("are kept by the rule that the soundest of their kind comes to, the suspect's worst by its own", () => {
    const [suspect, sound] = upkeepGroups(lone());
    const rules = sound!.contacts.map(({ rule }) => rule);
    for (const { ruleWhenNew } of suspect!.contacts) expect(rules).toContainEqual(ruleWhenNew);
    for (const { rule, ruleWhenNew } of sound!.contacts) expect(rule).toEqual(ruleWhenNew);
  });
});

describe("the options of a walk", () => {
  const followed = () => followOptions(fouled().input);

  test("the plan is compared with nothing, every other with the plan", () => {
    const { options } = followed();
    const [plan, ...others] = options;
    expect(plan).toMatchObject({ id: "plan", comparison: null });
    expect(others.length).toBeGreaterThan(2);
    for (const { comparison, lifeCycleCost } of others)
      expect(comparison!.netSavings).toBeCloseTo(plan!.lifeCycleCost - lifeCycleCost, 6);
  });

  // Two years at the pool's 3 %: capital recovery 0.03 / (1 - 1.03^-2) = 0.522611 (NIST Handbook 135).
  test("a cost a year is the present cost times the capital recovery factor", () => {
    for (const { annualCost, lifeCycleCost, cashFlow, lostLanes } of followed().options) {
      expect(annualCost).toBeCloseTo(lifeCycleCost * 0.522611, 2);
      expect(cashFlow).toHaveLength(3);
      expect(lostLanes.onAverage).toBeGreaterThanOrEqual(0);
    }
  });

  test("nothing is asked for that saves nothing, buys nothing, or that the plan decides otherwise", () => {
    const { base, options } = followed();
    const made = (
      id: string,
      replaced: readonly number[],
      netSavings: number,
      lifeCycleCost = 0,
    ) => ({
      ...options[1]!,
      id,
      replaced: base.groups.flatMap(({ places }) =>
        places.filter(({ lane }) => replaced.includes(lane as number)),
      ),
      lifeCycleCost,
      comparison: { ...options[1]!.comparison!, netSavings },
    });
    const saves = made("saves", [1], 10, 90);
    const more = made("saves more", [1, 3], 20, 80);
    const all = [saves, more, made("nothing bought", [], 30), made("no savings", [1], 0)];
    expect(worthAsking(base.groups, all).map(({ id }) => id)).toEqual(["saves more", "saves"]);
    // Lane 2 is the suspect: were it to be cleaned, nobody asks for its replacement.
    const cleaned = base.groups.map((one) =>
      one.suspect ? { ...one, first: "clean" as const } : one,
    );
    const suspect = made("the suspect", [2, 1], 10);
    expect(worthAsking(cleaned, [suspect])).toEqual([]);
    const replaced = base.groups.map((one) =>
      one.suspect ? { ...one, first: "replace" as const } : one,
    );
    expect(worthAsking(replaced, [suspect])).toEqual([suspect]);
  });

  test("a walk without connectors has no options", () => {
    const { input } = fouled();
    const empty = { ...input.walk, connectors: [] };
    expect(() => followOptions({ ...input, walk: empty })).toThrow("without connectors");
  });
});
