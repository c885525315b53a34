import { describe, expect, test } from "vitest";
import { costsOf } from "../../src/domain/costs.ts";
import type { ConnectorFinding, ContactFinding, WalkDiagnosis } from "../../src/domain/findings.ts";
import { circuitKey } from "../../src/domain/place.ts";
import type { Pool } from "../../src/domain/pool.ts";
import type { PoolTrend } from "../../src/history/trend.ts";
import { madePool } from "../../src/intake/pool/made-pool.ts";
import { decide, toReadAgain } from "../../src/policy/decide.ts";
import { decideAt, decideWalk } from "../../src/policy/decide-walk.ts";
import { layConnector, openDesk } from "../../src/policy/desk.ts";
import { walkOf } from "../meet/pool.ts";

/** One lane, a walk every half year, a year ahead: the few solutions that it takes are soon found. */
const plate = { point: "plate", connector: "wall plate", shared_by: "lane", wire_ohms: 2 };
const pod = { point: "pod", connector: "pod", shared_by: "device", wire_ohms: 0.3 };
const own = {
  plate: { part: 60, clean_minutes: 8, replace_minutes: 20, life_shape: 1, age_years: 2 },
  pod: { part: 20, clean_minutes: 6, replace_minutes: 10, life_shape: 1, age_years: 3 },
};
const made = (more: Readonly<Record<string, unknown>> = {}): Pool =>
  madePool({
    ...{ pool: "Kestrel Bay", model: "plain", lanes: 1, devices: ["touchpad", "button-1"] },
    chain: [plate, pod],
    ...more,
    costs: {
      ...{ check_weeks: 26, horizon_years: 1, labour_per_hour: 30, look_minutes: 4 },
      ...{ lost_lane: 400, meets_per_season: 40 },
      connectors: (more["chain"] as unknown[] | undefined)?.length === 1 ? { pod: own.pod } : own,
      ...(more["costs"] as object | undefined),
    },
  });
/** A pad and a button to fall back on, behind a plate; either by itself; both without a plate. */
const pool = made();
const padAlone = made({ devices: ["touchpad"], chain: [pod] });
const padPath = made({ devices: ["touchpad"] });
const padAndButton = made({ chain: [pod] });

/** What a walk found of some contacts, by device and point; all others are sound. */
type Found = Readonly<Record<string, Partial<ContactFinding>>>;
const bad = (median: number, sound = 0.02): Partial<ContactFinding> => ({
  ...{ sound, fouled: 1 - sound, ohms: { median, low: median * 0.8, high: median * 1.25 } },
  voltsLost: (5 * median) / (1000 + median),
});
function walkWith(found: Found, of = pool): WalkDiagnosis {
  const walk = walkOf(of);
  const changed = (one: ContactFinding): ContactFinding => ({
    ...one,
    ...(found[`${one.device} ${one.point}`] ?? {}),
  });
  const contacts = walk.contacts.map(changed);
  const connectors = walk.connectors.map((one): ConnectorFinding => {
    const worst = contacts[walk.contacts.indexOf(one.worst)]!;
    return { ...one, worst, voltsLost: worst.voltsLost, atFault: 1 - worst.sound };
  });
  return { ...walk, contacts, connectors };
}
const inputOf = (found: Found, of = pool, trend: PoolTrend | null = null) => ({
  ...{ pool: of, walk: walkWith(found, of), trend, costs: costsOf(of) },
});
const pad = circuitKey(pool.circuits[0]!);

describe("a decision as it is said", () => {
  const decisions = (found: Found, of = padAlone, trend: PoolTrend | null = null) =>
    decide(of, walkWith(found, of), trend);

  test("of every suspect, in the walk's order, and of nothing else", () => {
    const both = decisions({ "touchpad pod": bad(60), "button-1 pod": bad(300) }, padAndButton);
    expect(both.map(({ place }) => [place.point, place.device])).toEqual([
      ["pod", "touchpad"],
      ["pod", "button-1"],
    ]);
    expect(decisions({})).toEqual([]);
  });

  // By hand: 30 an hour; cleaned in 6 minutes, looked at in 4, replaced in 10 with a part of 20.
  test("its prices, minutes and numbers", () => {
    const [said] = decisions({ "touchpad pod": bad(60) });
    expect(said).toMatchObject({
      ...{ cleanCost: 3, replaceCost: 25, lookCost: 2, lookMinutes: 4, cleanMinutes: 6 },
      ...{ replaceMinutes: 10, atFault: 0.98, open: 0, weeksHeld: [], ifNoBreak: null },
      ...{ stillLowAfterCleaning: false, lastPoint: "pod" },
    });
    expect(said!.film).toBeCloseTo(2 / 3, 12);
    const costs = new Map(said!.courses.map((course) => [course.kind, course]));
    expect([...costs.keys()].toSorted()).toEqual(["clean", "read-again", "replace", "wait"]);
    expect(said!.presentCost).toBe(costs.get(said!.action)!.presentCost);
    const sum = said!.courses.reduce((all, { chanceBest }) => all + chanceBest, 0);
    expect(sum).toBeCloseTo(1, 9);
    expect(costs.get("read-again")!.chanceBest).toBe(0);
    // The part at which replacing costs as much as cleaning: 20 and what replacing costs less.
    const even = 20 + costs.get("clean")!.presentCost - costs.get("replace")!.presentCost;
    expect(said!.breakEvenPart).toEqual(even > 0 ? even : null);
  });

  test("where cleaning is dear a part pays up to what it saves beside its price; else at none", () => {
    const evenOf = (costs: Readonly<Record<string, unknown>>) => {
      const given = { connectors: { pod: { life_shape: 1, ...costs } } };
      const priced = made({ devices: ["touchpad"], chain: [pod], costs: given });
      const [one] = decide(priced, walkWith({ "touchpad pod": bad(60) }, priced), null);
      const [clean, replace] = (["clean", "replace"] as const).map(
        (kind) => one!.courses.find((course) => course.kind === kind)!.presentCost,
      );
      return { said: one!.breakEvenPart, saved: clean! - replace! };
    };
    const dear = evenOf({ part: 20, clean_minutes: 300 });
    expect(dear.said).toBeCloseTo(20 + dear.saved, 9);
    const cheap = evenOf({ part: 1, clean_minutes: 1 });
    expect(1 + cheap.saved).toBeLessThan(0);
    expect(cheap.said).toBeNull();
  });

  test("what may be broken is looked at first, and its look is a course", () => {
    const [one] = decisions({
      "touchpad pod": { ...bad(60), open: 0.9, fouled: 0.05, sound: 0.05 },
    });
    expect([one!.action, one!.open]).toEqual(["look", 0.9]);
    expect(one!.ifNoBreak).not.toBeNull();
    const look = one!.courses.find(({ kind }) => kind === "look")!;
    expect(one!.presentCost).toBe(look.presentCost);
    expect(look.chanceBest).toBe(0);
  });

  test("how long its cleanings held, where there was something to hold", () => {
    const place = { ...decisions({ "touchpad pod": bad(60) })[0]!.place };
    const scored = (weeksHeld: number | null, heldUntil: string, hadTrouble = 1) => ({
      ...{ day: 1, film: 0.9, weeksHeld, heldUntil, hadTrouble },
    });
    const record = [
      scored(6, "trouble"),
      scored(9, "now"),
      scored(null, "now"),
      scored(4, "now", 0),
    ];
    const trend = {
      ...{ walks: [], contacts: [], beliefs: [], classes: [] },
      cleanings: {
        ...{ contacts: [], classes: [] },
        connectors: [
          { ...place, device: "button-1", cleanings: [scored(1, "now")] },
          { ...place, cleanings: record },
        ],
      },
    } as unknown as PoolTrend;
    expect(decisions({ "touchpad pod": bad(60) }, padAlone, trend)[0]!.weeksHeld).toEqual([
      { weeks: 6, atLeast: false },
      { weeks: 9, atLeast: true },
    ]);
  });
});

describe("a suspect that was worked on since", () => {
  const walk = walkWith({ "touchpad pod": bad(60), "button-1 pod": bad(60, 0.9) }, padAndButton);
  const trend = {
    ...{
      walks: [],
      beliefs: [],
      classes: [],
      cleanings: { contacts: [], classes: [], connectors: [] },
    },
    contacts: walk.contacts.map((one) => ({
      ...one,
      segments: [
        { begunBy: "first walk", begun: 0, observations: [{ walk: walk.walk }] },
        { begunBy: "cleaned", begun: 20_575, observations: [] },
      ],
    })),
  } as unknown as PoolTrend;

  // Day 20,575 since 1970 is 2026-05-02; a connector at fault with 0.1 is no suspect.
  test("is to be read again and not decided on", () => {
    expect(decide(padAndButton, walk, trend)).toEqual([]);
    expect(toReadAgain(walk, trend)).toMatchObject([
      { place: { point: "pod", device: "touchpad" }, action: "cleaned", date: "2026-05-02" },
    ]);
    expect(toReadAgain(walk, null)).toEqual([]);
  });
});

describe("paths and lanes couple connectors", () => {
  const decided = (found: Found, within: Pool) =>
    decideWalk(inputOf(found, within), ({ atFault }) => atFault > 0.2);
  const of = (all: ReturnType<typeof decided>, point: string, device: string | null) =>
    all.find(({ finding }) => finding.point === point && finding.device === device)!;

  test("a contact stands in its path with what the others have over sound ones, unless they are worked on", () => {
    // The plate, dearest in volts, is cleaned first: then it is a sound one for the pod.
    const all = decided({ "touchpad plate": bad(200), "touchpad pod": bad(60) }, padPath);
    const [plate, pod] = [of(all, "plate", null), of(all, "pod", "touchpad")];
    expect(plate.weighed.action).not.toBe("wait");
    const excess = (one: typeof plate) =>
      one.connector.contacts.find(({ circuit }) => circuit === pad)!.excess;
    expect(excess(plate)).toBeCloseTo(60 - 0.2, 9);
    expect(excess(pod)).toBe(0);
    // Where a lost lane costs next to nothing the plate is left, and stays in the pod's way.
    const left = decided(
      { "touchpad plate": bad(1.2, 0.7), "touchpad pod": bad(0.9, 0.7) },
      made({ devices: ["touchpad"], costs: { lost_lane: 1 } }),
    );
    expect(of(left, "plate", null).weighed.action).toBe("wait");
    expect(excess(of(left, "pod", "touchpad"))).toBeCloseTo(1, 9);
  });

  test("an open median counts for nothing, nor one under a sound contact's", () => {
    const found = {
      "touchpad plate": {
        ...bad(200),
        ohms: { median: Number.POSITIVE_INFINITY, low: 1, high: 1 },
      },
    };
    const all = decideWalk(
      inputOf({ ...found, "touchpad pod": { ohms: { median: 0.1, low: 0, high: 1 } } }, padPath),
    );
    expect(of(all, "pod", "touchpad").connector.contacts[0]!.excess).toBe(0);
    expect(of(all, "plate", null).connector.contacts[0]!.excess).toBe(0);
  });

  test("a pad is dearer where its fall-back fails as well", () => {
    const waits = (found: Found): number =>
      of(decided(found, padAndButton), "pod", "touchpad").weighed.costs.wait;
    const alone = waits({ "touchpad pod": bad(60) });
    expect(waits({ "touchpad pod": bad(60), "button-1 pod": bad(50) })).toBeGreaterThan(
      1.2 * alone,
    );
    // Once that is worked on it is as usual.
    expect(waits({ "touchpad pod": bad(60), "button-1 pod": bad(400) })).toBeCloseTo(alone, 9);
  });

  test("those wanted alone, in the walk's order, told how many are behind", () => {
    const said: number[][] = [];
    const some = decideWalk(
      inputOf({ "touchpad pod": bad(60), "button-1 pod": bad(300) }, padAndButton),
      ({ point }) => point === "pod",
      (done, all) => void said.push([done, all]),
    );
    expect(some.map(({ finding }) => finding.device)).toEqual(["touchpad", "button-1"]);
    expect(said).toEqual([
      [0, 2],
      [1, 2],
    ]);
  });
});

describe("a walk laid out", () => {
  test("once, until prices or the season are others", () => {
    const input = inputOf({ "touchpad pod": bad(60) }, padAlone);
    const desk = openDesk(input);
    expect(openDesk(input).shelf).toBe(desk.shelf);
    expect(openDesk({ ...input, costs: { ...input.costs, currency: "EUR" } }).shelf).toBe(
      desk.shelf,
    );
    const dearer = { ...input.costs, lookMinutes: 99 };
    expect(openDesk({ ...input, costs: dearer }).shelf).not.toBe(desk.shelf);
    expect(openDesk({ ...input, pool: { ...padAlone } }).shelf).not.toBe(desk.shelf);
    expect(openDesk({ ...input, walk: { ...input.walk } }).shelf).not.toBe(desk.shelf);
  });

  test("a connector has the contacts that were read, its age in weeks and their beliefs", () => {
    const input = inputOf({ "touchpad pod": bad(60) });
    const walk = {
      ...input.walk,
      contacts: input.walk.contacts.filter(({ device }) => device === "touchpad"),
    };
    const desk = openDesk({ ...input, walk });
    const finding = (point: string) => walk.connectors.find((one) => one.point === point)!;
    const { connector, believed } = layConnector(desk, finding("plate"));
    expect(connector.contacts.map(({ circuit }) => circuit)).toEqual([pad]);
    expect(connector).toMatchObject({ ageWeeks: 2 * 52, stage: "first", kind: { contacts: 1 } });
    expect(connector.contacts[0]!.belief).toBe(believed[0]!.belief);
    expect(connector.contacts[0]!.excess).toBe(0);
    expect(layConnector(desk, finding("pod")).connector.ageWeeks).toBe(3 * 52);
    expect(() => layConnector(desk, { ...finding("pod"), point: "nowhere" })).toThrow(
      /no connector/,
    );
  });

  // 728 days are 104 weeks and a leap's part: years of 365.25 days, weeks of 52 to the year.
  test("its age goes from its last replacement up to the last walk", () => {
    const aged = (...segments: readonly (readonly [string, number])[]) => {
      const walk = walkWith({ "touchpad pod": bad(60) }, padAlone);
      const trend = {
        ...{ walks: [{ day: 1000 }], beliefs: [], classes: [] },
        cleanings: { contacts: [], classes: [], connectors: [] },
        contacts: walk.contacts.map((one) => ({
          ...one,
          segments: segments.map(([begunBy, begun]) => ({ begunBy, begun, observations: [] })),
        })),
      } as unknown as PoolTrend;
      const desk = openDesk({ ...inputOf({}, padAlone), walk, trend });
      const pod = walk.connectors.find(({ point }) => point === "pod")!;
      return layConnector(desk, pod).connector.ageWeeks;
    };
    const weeks = (days: number): number => (days / 365.25) * 52;
    expect(aged(["replaced", 300])).toBeCloseTo(weeks(700), 6);
    expect(aged(["replaced", 300], ["cleaned", 600])).toBeCloseTo(weeks(700), 6);
    expect(aged(["replaced", 300], ["replaced", 800])).toBeCloseTo(weeks(200), 6);
    expect(aged(["replaced", 300], ["replaced", 1001])).toBeCloseTo(weeks(700), 6);
    expect(aged(["replaced", 1000])).toBeCloseTo(0, 6);
    expect(aged(["cleaned", 300])).toBe(3 * 52);
    expect(aged()).toBe(3 * 52);
  });

  test("decided at the same desk, a walk is decided the same", () => {
    const input = inputOf({ "touchpad pod": bad(60) }, padAlone);
    const [one, again] = [decideWalk(input), decideAt(openDesk(input), () => true)];
    expect(again.map(({ weighed }) => weighed.costs)).toEqual(
      one.map(({ weighed }) => weighed.costs),
    );
  });
});
