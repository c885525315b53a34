import { describe, expect, test } from "vitest";
import { ohms } from "../../src/domain/units.ts";
import { choicesOf, costOf, requestOf } from "../../src/economics/choices.ts";
import type { Keeping, Track, Tracks } from "../../src/economics/track.ts";
import type { UpkeepGroup } from "../../src/economics/upkeep.ts";
import { costs, group, plate, pool, track } from "./hand-made.ts";

/** Quarters of the horizon. */
const QUARTERS = 8;

/** Each lane's plate by itself: what the plan does with it, whether it is a suspect. */
const plates = (...of: readonly Partial<UpkeepGroup>[]): readonly UpkeepGroup[] =>
  of.map((changed, k) => group([k + 1], changed));

/** Tracks that say how they were asked for; a new plate costs nothing after its fitting. */
function asked(upkeep: (group: UpkeepGroup) => number): {
  readonly tracks: Tracks;
  readonly keepings: Map<Track, Keeping | "new">;
} {
  const keepings = new Map<Track, Keeping | "new">();
  const replaceNow = (): Track => {
    const made = track(QUARTERS, { isNew: true, now: { cleanings: 0, replacements: 1 } });
    keepings.set(made, "new");
    return made;
  };
  const keep = (of: UpkeepGroup, keeping: Keeping): Track => {
    if (keeping.first === "replace") return replaceNow();
    const made = track(QUARTERS, { cleanings: [upkeep(of)] });
    keepings.set(made, keeping);
    return made;
  };
  return { tracks: { keep, replaceNow } as unknown as Tracks, keepings };
}

const ask = (
  groups: readonly UpkeepGroup[],
  upkeep: (group: UpkeepGroup) => number = () => 0,
  changed: Partial<typeof costs> = {},
) => {
  const { tracks, keepings } = asked(upkeep);
  const choices = choicesOf(pool, groups, { ...costs, ...changed }, tracks, QUARTERS);
  const of = (id: string) => choices.find((each) => each.id === id)!;
  return { choices, of, tracks, keepings };
};

const suspect = { first: "clean", suspect: true } as const;

describe("the plan", () => {
  test("comes first, keeps every group by the plan's own rules and buys what it replaces now", () => {
    const groups = plates({ first: "replace", suspect: true }, suspect, {});
    const { choices, tracks, keepings } = ask(groups);
    const [plan] = choices;
    expect(plan).toMatchObject({ id: "plan", kind: "plan", label: "Follow the plan" });
    expect(plan!.replaced).toEqual([plate(1)]);
    const kept = plan!.kept(groups, tracks);
    expect(kept.map(({ group: one }) => one)).toEqual(groups);
    const ways = kept.map(({ branches: [only] }) => [
      only!.share,
      only!.bought,
      keepings.get(only!.track),
    ]);
    expect(ways).toEqual([
      [1, null, "new"],
      [1, null, { first: "clean", rule: null }],
      [1, null, { first: "wait", rule: null }],
    ]);
  });
});

describe("today's practice", () => {
  const practice = { cleanUnder: 4.7, cleanEvery: 13, replaceAfter: 2 };

  test("is an option where the pool file states it, followed from the first reading on", () => {
    const groups = plates({ first: "replace" });
    const { of, tracks, keepings } = ask(groups, () => 0, { practice });
    const today = of("present-practice");
    expect(today).toMatchObject({
      kind: "present-practice",
      label: "Go on as today",
      replaced: [],
    });
    const [only] = today.kept(groups, tracks)[0]!.branches;
    expect(keepings.get(only!.track)).toEqual({
      first: "by-reading",
      rule: { first: "clean", replaceUnder: null, leaveAfter: null, ...practice },
    });
  });

  test("is not made up", () => {
    expect(ask(plates({})).choices.map(({ id }) => id)).not.toContain("present-practice");
  });
});

describe("cleaning, then replacing what fails", () => {
  test("cleans suspects now and others under the limit, and replaces after one failure", () => {
    const groups = plates(suspect, {});
    const { of, tracks, keepings } = ask(groups);
    const option = of("clean-then-replace");
    expect(option).toMatchObject({
      kind: "clean-then-replace",
      label: "Clean, then replace what fails",
      replaced: [],
    });
    const rule = {
      first: "clean",
      cleanUnder: 4.8,
      replaceUnder: null,
      replaceAfter: 1,
      leaveAfter: null,
      cleanEvery: null,
    };
    const ways = option
      .kept(groups, tracks)
      .map(({ branches }) => keepings.get(branches[0]!.track));
    expect(ways).toEqual([
      { first: "clean", rule },
      { first: "wait", rule },
    ]);
  });

  test("is no option where the limit is in ohms: no reading says that it failed", () => {
    const { tracks } = asked(() => 0);
    const inOhms = { ...pool, limit: { ohms: ohms(41) } };
    const ids = choicesOf(inOhms, plates(suspect), costs, tracks, QUARTERS).map(({ id }) => id);
    expect(ids).not.toContain("clean-then-replace");
  });
});

// A plate costs 120 to replace; kept as the plan has it, 10 a cleaning.
describe("replacing the worst", () => {
  test("takes as many as pay: those kept at 300, not the one kept at 50", () => {
    const groups = plates(suspect, suspect, suspect);
    const upkeep = new Map([1, 2, 3].map((lane, k) => [lane, [30, 30, 5][k]!]));
    const { of, tracks, keepings } = ask(
      groups,
      ({ places }) => upkeep.get(places[0]!.lane as number)!,
    );
    const worst = of("replace-worst");
    expect(worst).toMatchObject({ kind: "replace-worst", label: "Replace the 2 worst connectors" });
    expect(worst.replaced).toEqual([plate(1), plate(2)]);
    const bought = worst.kept(groups, tracks).map(({ branches }) => branches[0]!.bought);
    expect(bought.map((each) => each && [keepings.get(each.track), each.afterYear])).toEqual([
      ["new", 0],
      ["new", 0],
      null,
    ]);
  });

  test("takes one where none pays", () => {
    const { of } = ask(plates(suspect, suspect));
    expect(of("replace-worst").label).toBe("Replace the worst connector");
    expect(of("replace-worst").replaced).toEqual([plate(1)]);
  });

  test("leaves out what the plan replaces, and takes suspects before all others", () => {
    const groups = plates({ first: "replace", suspect: true }, {}, suspect);
    expect(ask(groups).of("replace-worst").replaced).toEqual([plate(3)]);
  });

  test("without suspects takes the first of the ranking, and of several alike none", () => {
    expect(ask(plates({}, {})).of("replace-worst").replaced).toEqual([plate(1)]);
    const alike = [group([2, 3]), group([1])];
    expect(ask(alike).of("replace-worst").replaced).toEqual([plate(1)]);
    expect(ask([group([1, 2, 3])]).of("replace-worst")).toBeUndefined();
    expect(ask(plates({ first: "replace" })).of("replace-worst")).toBeUndefined();
  });
});

describe("replacing a class", () => {
  const groups = [group([3], suspect), group([1, 2])];

  test("all plates now, or in three yearly parts, the worst first", () => {
    const { of, tracks, keepings } = ask(groups);
    const whole = of("replace-class:plate");
    expect(whole).toMatchObject({ kind: "replace-class", label: "Replace every wall plate" });
    expect(whole.replaced).toEqual([plate(3), plate(1), plate(2)]);
    for (const { branches } of whole.kept(groups, tracks)) {
      expect(branches).toHaveLength(1);
      expect(branches[0]).toMatchObject({ share: 1, bought: { afterYear: 0 } });
    }
    const phased = of("phased:plate");
    expect(phased).toMatchObject({
      kind: "phased",
      label: "Replace every wall plate over 3 years",
    });
    expect(phased.replaced).toEqual(whole.replaced);
    const [worst, others] = phased.kept(groups, tracks);
    expect(worst!.branches.map(({ bought }) => bought!.afterYear)).toEqual([0]);
    expect(others!.branches.map(({ share, bought }) => [share, bought!.afterYear])).toEqual([
      [0.5, 1],
      [0.5, 2],
    ]);
    for (const { track: old, bought } of others!.branches) {
      expect(keepings.get(old)).toEqual({ first: "wait", rule: null });
      expect(keepings.get(bought!.track)).toBe("new");
    }
  });

  test("a name in the plural is not every one but all", () => {
    const connectors = pool.connectors.map((one) => ({ ...one, name: "pod terminals" }));
    const { tracks } = asked(() => 0);
    const labels = choicesOf({ ...pool, connectors }, groups, costs, tracks, QUARTERS).map(
      ({ label }) => label,
    );
    expect(labels).toContain("Replace all pod terminals");
  });

  test("is no option without a suspect, or where there is only one of it", () => {
    const ids = (of: readonly UpkeepGroup[]) => ask(of).choices.map(({ id }) => id);
    expect(ids([group([3]), group([1, 2])])).toEqual([
      "plan",
      "clean-then-replace",
      "replace-worst",
    ]);
    expect(ids([group([3], suspect)])).not.toContain("replace-class:plate");
    // Two plates are a class.
    expect(ids([group([3], suspect), group([1])])).toContain("replace-class:plate");
    expect(ids([group([3], suspect), group([1])])).not.toContain("replace-class:pod");
  });
});

test("what an option asks for is what its places cost, each at its own price", () => {
  const dear = group([3], { ...suspect, costs: { ...group([3]).costs, part: 200 } });
  const groups = [dear, group([1, 2])];
  const { of } = ask(groups);
  expect(requestOf(of("replace-class:plate"), groups, costs)).toBe(220 + 120 + 120);
  expect(requestOf(of("plan"), groups, costs)).toBe(0);
});

test("an option's cost is the present value of its years", () => {
  const groups = plates({});
  const kept = () => [
    {
      group: groups[0]!,
      branches: [{ share: 1, track: track(8, { cleanings: [1, 0, 0, 0, 1] }), bought: null }],
    },
  ];
  const { tracks } = asked(() => 0);
  const atTen = { ...costs, discountRate: { value: 0.1, low: 0.1, high: 0.1 } };
  // 10 at the end of each of two years at 10 %.
  const cost = costOf(pool, groups, tracks, atTen, QUARTERS, { kept });
  expect(cost).toBeCloseTo(10 / 1.1 + 10 / 1.21, 12);
});
