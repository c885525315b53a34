import { describe, expect, test } from "vitest";
import { costsOf } from "../../src/domain/costs.ts";
import { type ConnectorFinding, SUSPECT, type WalkDiagnosis } from "../../src/domain/findings.ts";
import { circuitKey } from "../../src/domain/place.ts";
import type { Pool } from "../../src/domain/pool.ts";
import type { PoolTrend } from "../../src/history/trend.ts";
import { madePool } from "../../src/intake/pool/made-pool.ts";
import { cleanMass } from "../../src/policy/clean-mass.ts";
import { kindsOf } from "../../src/policy/connector-law.ts";
import { type ContactChain, contactChain, troubleWeeks } from "../../src/policy/contact-chain.ts";
import { contactPrices } from "../../src/policy/decide-pool.ts";
import { lossPrices, pricedShelf } from "../../src/policy/failure-prices.ts";
import { failureCostsOf } from "../../src/policy/lane-roles.ts";
import { push } from "../../src/policy/push.ts";
import type { SolvedChain } from "../../src/policy/solve-chain.ts";
import { typicalTrouble } from "../../src/policy/typical-failure.ts";
import { lookPrice, workPrices } from "../../src/policy/work-prices.ts";
import { isDecidedOn, workSince } from "../../src/policy/work-since.ts";
import { emptyWalk } from "../made-findings.ts";
import { law, prices } from "./sample-law.ts";

const made = (more: Readonly<Record<string, unknown>> = {}): Pool =>
  madePool({
    ...{ pool: "Kestrel Bay", model: "plain", lanes: 2, devices: ["touchpad", "button-1"] },
    chain: [{ point: "pod", connector: "pod", shared_by: "device", wire_ohms: 0.3 }],
    ...more,
    costs: { check_weeks: 12, horizon_years: 1, ...(more["costs"] as object | undefined) },
  });
const lossOf = (pool: Pool) => lossPrices({ pool, costs: costsOf(pool) });

describe("what failing costs", () => {
  // By hand: 26 meets in 52 weeks are one every two, a lost lane 80, half of the lanes swum in.
  test("a lane lost a week, by meets and the lanes that are swum in", () => {
    const costs = { meets_per_season: 26, lost_lane: 80, loss_chance: 0.25 };
    expect(lossOf(made({ costs }))).toEqual({
      ...{ lostLaneWeek: 40, lossChance: 0.25, intermittentLoss: 0.3 },
    });
    expect(lossOf(made({ costs: { ...costs, lanes_at_risk: 1 } })).lostLaneWeek).toBe(20);
    // More often than it shows at a reading, where what is low loses more often still.
    expect(lossOf(made({ costs: { ...costs, loss_chance: 0.6 } })).intermittentLoss).toBe(0.6);
  });

  test("what the timer's own threshold says is low is lost for certain", () => {
    const timer = { timer_input: { low_max: 0.8, high_min: 2 }, supply: { source_ohms: 100 } };
    expect(lossOf(made(timer))).toMatchObject({ lossChance: 1, intermittentLoss: 1 });
  });

  // By hand: 40 a week times half a lane, a quarter and three tenths of it.
  test("a contact's prices are its device's, by how often each trouble loses", () => {
    const kind = { name: "pod", law, contacts: 1, prices: { clean: 6, replace: 40 } };
    const loss = { lostLaneWeek: 40, lossChance: 0.25, intermittentLoss: 0.3 };
    expect(contactPrices(kind, loss, 0.5)).toEqual({
      ...{ clean: 6, replace: 40, openWeek: 20, lowWeek: 5, intermittentWeek: 6 },
    });
  });

  // By hand: 30 an hour, 10, 20 and 4 minutes.
  test("work is its minutes, and a new part", () => {
    const costs = costsOf(made({ costs: { labour_per_hour: 30, look_minutes: 4 } }));
    const own = { ...costs.connectors["pod"]!, part: 70, cleanMinutes: 10, replaceMinutes: 20 };
    expect(workPrices(costs, own)).toEqual({ clean: 5, replace: 80 });
    expect(lookPrice(costs)).toBe(2);
  });
});

/** A chain of coarse levels, and a policy over it that acts where it is told to. */
const chain = contactChain(law, 2);
const acting = (
  acts: (s: number) => "wait" | "clean" | "replace" | "clean, then replace",
): SolvedChain => {
  const wait = new Float64Array(chain.size).fill(10);
  const best = wait.map((cost, s) => (acts(s) === "wait" ? cost : cost - 1));
  const second = wait.map((cost, s) =>
    acts(s) === "replace" || acts(s) === "clean, then replace" ? cost - 1 : cost,
  );
  // By the law anew: what is laid out of one is kept with it.
  return { chain: contactChain({ ...law }, 2), prices, wait, best, second, fresh: 0 };
};

/** The same course over the table of all states, written out: 39 walks of four checks each. */
function typicalSlowly(acts: (s: number) => boolean, again: (s: number) => boolean) {
  const far: ContactChain = contactChain(
    law,
    8,
    chain.blocks.map(({ levels }) => levels),
  );
  const weeks = troubleWeeks(far);
  let mass = new Float64Array(chain.size);
  for (const { state, weight } of far.fresh) mass[state]! += weight;
  const sums = { low: 0, open: 0, intermittent: 0 };
  for (let t = 0; t < 39; t++) {
    const [taken, after] = [new Float64Array(chain.size), new Float64Array(chain.size)];
    for (let s = 0; s < chain.size; s++) if (acts(s)) [taken[s], mass[s]] = [mass[s]!, 0];
    cleanMass(far, taken, after);
    for (let s = 0; s < chain.size; s++)
      if (again(s)) for (const { state, weight } of far.fresh) mass[state]! += after[s]! * weight;
      else mass[s]! += after[s]!;
    for (let s = 0; s < chain.size; s++)
      for (const key of ["low", "open", "intermittent"] as const)
        sums[key] += (mass[s]! * weeks[key][s]!) / (39 * 8);
    const next = new Float64Array(chain.size);
    push(far, mass, next);
    mass = next;
  }
  return sums;
}

describe("how often a kept contact is in trouble", () => {
  const block = chain.blocks[0]!;
  const courses: readonly (readonly [string, Parameters<typeof acting>[0]])[] = [
    ["never", () => "wait"],
    ["at every walk", () => "clean"],
    [
      "where it is open",
      (s: number) => (s === block.open || s === block.open + 1 ? "clean, then replace" : "wait"),
    ],
    [
      "at high levels",
      (s: number) => (s % 5 === 0 ? "clean" : s % 7 === 0 ? "clean, then replace" : "wait"),
    ],
  ];
  test.each(courses)("worked on %s", (_, acts) => {
    const own = typicalTrouble(acting(acts));
    const told = typicalSlowly(
      (s) => acts(s) !== "wait",
      (s) => acts(s) === "clean, then replace",
    );
    expect(own.low).toBeCloseTo(told.low, 9);
    expect(own.open).toBeCloseTo(told.open, 9);
    expect(own.intermittent).toBeCloseTo(told.intermittent, 9);
  });

  test("less often where it is worked on", () => {
    const [left, kept] = [acting(() => "wait"), acting(() => "clean")].map(typicalTrouble);
    expect(kept!.low).toBeLessThan(left!.low);
  });
});

// The model, section 14: prices come from the policy itself, first where devices fail of themselves alone,
// then twice as often as their contacts, kept at those prices, let them.
test("a failure is priced by how the others of its lane are kept, twice over", () => {
  const pool = made();
  const costs = costsOf(pool);
  const kinds = kindsOf(pool, costs, null);
  const { shelf, failureCosts, loss } = pricedShelf({ pool, costs }, kinds);
  const [own, fallback] = [costs.ownFailure.value, costs.fallbackCost.value];
  let told = failureCostsOf(pool, fallback, () => own);
  for (let round = 0; round < 2; round++) {
    const before = told;
    told = failureCostsOf(pool, fallback, (name) => {
      const price = before(circuitKey(name));
      const kept = typicalTrouble(shelf.typicalOf(kinds[0]!, price));
      const fails =
        kept.low * loss.lossChance + kept.open + kept.intermittent * loss.intermittentLoss;
      return 1 - (1 - own) * (1 - fails);
    });
  }
  for (const circuit of pool.circuits)
    expect(failureCosts(circuitKey(circuit))).toBeCloseTo(told(circuitKey(circuit)), 12);
  // Two devices, one enough: the first's failure costs more than its fall-back's.
  const [pad, button] = pool.circuits.map((one) => failureCosts(circuitKey(one)));
  expect(pad).toBeGreaterThan(button!);
});

describe("work since a walk", () => {
  const name = { lane: 1, device: "touchpad", end: null, point: "pod" };
  const finding = (atFault = 0.9) => ({ atFault, worst: name }) as unknown as ConnectorFinding;
  const walk: WalkDiagnosis = { ...emptyWalk, walk: "b" };
  const segment = (begunBy: string, begun: number, ...walks: readonly string[]) => ({
    ...{ begunBy, begun, observations: walks.map((one) => ({ walk: one })) },
  });
  const trend = (...segments: readonly ReturnType<typeof segment>[]) =>
    ({
      contacts: [
        {
          ...name,
          point: "plate",
          segments: [segment("first walk", 0, "b"), segment("replaced", 7)],
        },
        { ...name, lane: 2, segments: [segment("first walk", 0, "b"), segment("replaced", 7)] },
        { ...name, segments },
      ],
    }) as unknown as PoolTrend;

  test.each([
    ["none logged", [segment("first walk", 0, "a", "b")], null],
    ["cleaned after it", [segment("first walk", 0, "b"), segment("cleaned", 9)], ["cleaned", 9]],
    [
      "the last of two",
      [segment("first walk", 0, "b"), segment("cleaned", 9), segment("replaced", 12, "c")],
      ["replaced", 12],
    ],
    ["before it", [segment("first walk", 0, "a"), segment("cleaned", 9, "b")], null],
    [
      "a walk that it knows nothing of",
      [segment("first walk", 0, "a"), segment("cleaned", 9)],
      null,
    ],
    ["no walk at all", [], null],
    // What fouled at a stroke begins anew without a work.
    ["no work", [segment("first walk", 0, "b"), segment("first walk", 9)], null],
  ] as const)("%s", (_, segments, expected) => {
    const season = trend(...segments);
    expect(workSince(walk, season, finding())).toEqual(
      expected === null ? null : { action: expected[0], day: expected[1] },
    );
    expect(isDecidedOn(walk, season, finding())).toBe(expected === null);
  });

  test("without a season none is known; what is no suspect is not decided on", () => {
    expect(workSince(walk, null, finding())).toBeNull();
    expect(isDecidedOn(walk, null, finding())).toBe(true);
    expect(isDecidedOn(walk, null, finding(SUSPECT))).toBe(true);
    expect(isDecidedOn(walk, null, finding(SUSPECT - 0.01))).toBe(false);
  });
});
