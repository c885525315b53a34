import { expect, test } from "vitest";
import { costsOf } from "../../src/domain/costs.ts";
import { actions } from "../../src/domain/courses.ts";
import type { Decision } from "../../src/domain/decision.ts";
import { type ContactFinding, mayBeBroken, type WalkDiagnosis } from "../../src/domain/findings.ts";
import { type Place, placeKey, samePlace } from "../../src/domain/place.ts";
import type { Pool } from "../../src/domain/pool.ts";
import { followOptions, weighOptions, worthAsking } from "../../src/economics/weigh-options.ts";
import { readPool } from "../../src/intake/pool/read-pool.ts";
import { meetReady } from "../../src/meet/ready.ts";
import { decide } from "../../src/policy/decide.ts";
import { walkOf } from "../meet/pool.ts";
import { type Random, seededRandom } from "../study/random.ts";

/**
 * Decisions, the meet morning and the memo over 200 invented pools: lanes, devices, chains, prices and
 * what a walk found all drawn from seeds. The walks' findings are given, not inferred: the exact sums
 * take seconds a walk, and what is tested here begins behind them.
 */
const POOLS = 200;
/**
 * What a memo may ask for is known once its options are followed. How likely each saves takes every
 * assumption's ends, seconds a pool, and can only strike options out: one pool in so many has that too.
 */
const WHOLE_MEMO_EVERY = 20;

const between = (random: Random, low: number, high: number): number =>
  low + (high - low) * random.uniform();
const pick = <T>(random: Random, of: readonly T[]): T =>
  of[Math.floor(random.uniform() * of.length)]!;

function drawnPool(random: Random): Pool {
  const lanes = pick(random, [1, 2, 2, 3]);
  const devices = pick(random, ["[touchpad]", "[touchpad]", "[touchpad, button-1]"]);
  const links = [
    `{ point: harness, connector: harness connector, shared_by: ${pick(random, ["lane", "pool"])}, wire_ohms: 0.6 }`,
    ...(random.chance(0.5)
      ? ["{ point: plate, connector: plate connector, shared_by: lane, wire_ohms: 2.0 }"]
      : []),
    "{ point: pod, connector: pod terminals, shared_by: device, wire_ohms: 0.3 }",
  ];
  const costs = [
    `lost_lane: ${Math.round(Math.exp(between(random, 2, 6)))}`,
    `labour_per_hour: ${Math.round(between(random, 15, 80))}`,
    `meets_per_season: ${Math.round(between(random, 4, 40))}`,
    `check_weeks: ${pick(random, [6, 8, 12])}`,
    "horizon_years: 2",
    `connectors: { pod: { part: ${Math.round(Math.exp(between(random, 2, 6)))} } }`,
    `practice: { clean_under: 4.8, replace_after: ${pick(random, [1, 2])} }`,
  ];
  const file = `pool: Heron Mill\nmodel: plain\nlanes: ${lanes}\ndevices: ${devices}\nchain:\n  - ${links.join("\n  - ")}\ncosts: { ${costs.join(", ")} }\n`;
  const read = readPool(file, "pool.yaml");
  if (!read.ok) throw new Error(read.error.map(({ message }) => message).join("; "));
  return read.value;
}

/** Faults of any kind and size at about one contact in four. */
function drawnWalk(pool: Pool, random: Random): WalkDiagnosis {
  const draws = new Map<string, number>();
  const walk = walkOf(pool, (circuit, point) => {
    const sound = random.chance(0.25) ? random.uniform() ** 2 : 0.999;
    draws.set(`${circuit.lane} ${circuit.device} ${point}`, sound);
    return sound;
  });
  const mended = (one: ContactFinding): ContactFinding => {
    if (one.sound > 0.99) return one;
    const open = random.chance(0.15) ? 1 - one.sound : 0;
    const median = Math.exp(between(random, 0, 6));
    return {
      ...one,
      open,
      fouled: 1 - one.sound - open,
      ohms: { median, low: median * 0.8, high: median * 1.25 },
      voltsLost: (5 * median) / (1000 + median),
    };
  };
  const contacts = walk.contacts.map(mended);
  const connectors = walk.connectors.map((one) => ({
    ...one,
    worst: contacts[walk.contacts.indexOf(one.worst)]!,
    voltsLost: contacts[walk.contacts.indexOf(one.worst)]!.voltsLost,
  }));
  return { ...walk, contacts, connectors };
}

/**
 * The memo buys what is decided to be replaced, and asks for nothing that is decided otherwise: none of
 * the options that it might ask for, however likely they are found to save.
 */
function memoAgrees(
  pool: Pool,
  walk: WalkDiagnosis,
  decisions: readonly Decision[],
  seed: string,
): void {
  const { base, options } = followOptions({ pool, walk, trend: null, costs: costsOf(pool) });
  const replaced = decisions.filter(({ action }) => action === "replace");
  const keys = (places: readonly Place[]): string[] => places.map(placeKey).sort();
  expect(keys(options[0]!.replaced), seed).toEqual(keys(replaced.map(({ place }) => place)));
  for (const asked of worthAsking(base.groups, options))
    for (const place of asked.replaced) {
      const decision = decisions.find((each) => samePlace(each.place, place));
      expect(decision?.action ?? "replace", `${seed} ${placeKey(place)}`).toBe("replace");
    }
}

/** The same of a whole memo, which has weighed its chances. */
function wholeMemoAgrees(
  pool: Pool,
  walk: WalkDiagnosis,
  decisions: readonly Decision[],
  seed: string,
): void {
  const { options, requested } = weighOptions(pool, walk, null);
  for (const place of options.find(({ id }) => id === requested)?.replaced ?? []) {
    const decision = decisions.find((each) => samePlace(each.place, place));
    expect(decision?.action ?? "replace", `${seed} ${placeKey(place)}`).toBe("replace");
  }
}

test("memo, decide and ready never differ, over 200 pools", () => {
  const seen = new Map(actions.map((action) => [action, 0]));
  for (let seed = 1; seed <= POOLS; seed++) {
    const random = seededRandom(seed);
    const pool = drawnPool(random);
    const walk = drawnWalk(pool, random);
    const decisions = decide(pool, walk, null);
    for (const { action, place } of decisions) {
      seen.set(action, seen.get(action)! + 1);
      // `check` says what `decide` does: one fact sends somebody to look for a break.
      const { worst } = walk.connectors.find((each) => samePlace(each, place))!;
      expect(action === "look", `${seed} ${placeKey(place)}`).toBe(mayBeBroken(worst));
    }

    memoAgrees(pool, walk, decisions, `${seed}`);
    if (seed % WHOLE_MEMO_EVERY === 0) wholeMemoAgrees(pool, walk, decisions, `${seed}`);
    // The morning does what is decided, and works on nothing else.
    const { fixes } = meetReady({
      ...{
        pool,
        date: "2026-06-13",
        looks: [{ diagnosis: walk, day: "2026-06-11", seconds: null }],
      },
      ...{
        work: [],
        touches: null,
        pads: null,
        record: null,
        minutesLeft: null,
        decided: decisions,
      },
    });
    for (const fix of fixes) {
      if (fix.kind !== "look" && fix.kind !== "clean" && fix.kind !== "replace") continue;
      const at = { ...fix, point: fix.point! };
      const decision = decisions.find((each) => samePlace(each.place, at));
      expect(decision?.action, `${seed} ${placeKey(at)}`).toBe(fix.kind);
    }
  }
  for (const [action, times] of seen) expect(times, action).toBeGreaterThan(5);
}, 400_000);
