import { describe, expect, test } from "vitest";
import { packBag } from "../../src/meet/bag.ts";
import { type PossibleRepair, priorAtFault } from "../../src/meet/possible-repairs.ts";
import { poissonBinomial } from "../../src/numerics/poisson-binomial.ts";
import { placeOf } from "../plain-pool.ts";
import { kestrelBay } from "./pool.ts";

const repair = (
  point: string,
  sharing: PossibleRepair["sharing"],
  atFault: number,
  cures: number,
): PossibleRepair => ({
  ...placeOf(point, 1),
  connector: `${point} connector`,
  sharing,
  atFault,
  from: "walk",
  cures,
});

/** Independent: every outcome of every connector and plug, weighed and compared with the bag. */
function bruteEnough(
  repairs: readonly PossibleRepair[],
  plugs: readonly number[],
  carry: (item: string) => number,
): number {
  const outcomes = repairs.map((r) => [
    { share: 1 - r.atFault, cleaned: 0, replaced: 0 },
    { share: r.atFault * r.cures, cleaned: 1, replaced: 0 },
    { share: r.atFault * (1 - r.cures), cleaned: 1, replaced: 1 },
  ]);
  let total = 0;
  const visit = (
    i: number,
    share: number,
    cleaned: number,
    replaced: ReadonlyMap<string, number>,
  ): void => {
    if (i < repairs.length) {
      for (const o of outcomes[i] ?? []) {
        const point = repairs[i]?.point ?? "";
        const more = new Map(replaced).set(point, (replaced.get(point) ?? 0) + o.replaced);
        visit(i + 1, share * o.share, cleaned + o.cleaned, more);
      }
      return;
    }
    const all = [...replaced.values()].reduce((a, b) => a + b, 0);
    const fits =
      [...replaced].every(([point, n]) => n <= carry(`spare: ${point} connector`)) &&
      2 * cleaned <= carry("alcohol wipe") &&
      2 * all <= carry("hook-and-loop tie") &&
      2 * ((replaced.get("pod") ?? 0) + (replaced.get("tail") ?? 0)) <=
        carry("wire, stripped to fit");
    if (fits) total += share;
  };
  visit(0, 1, 0, new Map());
  const plugCount = poissonBinomial(plugs);
  let plugShare = 0;
  for (let k = 0; k <= carry("spare: pad plug"); k += 1) plugShare += plugCount[k] ?? 0;
  return total * plugShare;
}

describe("the bag", () => {
  const repairs = [
    repair("plate", "lane", 0.9, 0.6),
    repair("plate", "lane", 0.1, 0.6),
    repair("plate", "lane", 0.05, 0.9),
    repair("pod", "device", 0.3, 0.4),
    repair("pod", "device", 0.12, 0.7),
    repair("timer", "pool", 0.02, 0.7),
  ];
  const plugs = [0.02, 0.1];

  test("its chance of being enough equals enumeration of every outcome", () => {
    for (const asked of [0.5, 0.8, 0.95, 0.99]) {
      const bag = packBag(repairs, plugs, asked);
      const carry = (name: string): number => bag.items.find((i) => i.item === name)?.carry ?? 0;
      expect(bag.chanceEnough).toBeCloseTo(bruteEnough(repairs, plugs, carry), 10);
      expect(bag.chanceEnough).toBeGreaterThanOrEqual(asked);
    }
  });

  test("several classes of one device draw on the same wire", () => {
    const two = [...repairs, repair("tail", "device", 0.4, 0.5)];
    const bag = packBag(two, plugs, 0.9);
    const carry = (name: string): number => bag.items.find((i) => i.item === name)?.carry ?? 0;
    expect(bag.chanceEnough).toBeCloseTo(bruteEnough(two, plugs, carry), 10);
  });

  test("no single piece can be left out", () => {
    const bag = packBag(repairs, plugs, 0.95);
    for (const less of bag.items.filter((item) => item.kind !== "tool" && item.carry > 0)) {
      const step = less.kind === "spare" ? 1 : 2;
      const carry = (name: string): number =>
        (bag.items.find((i) => i.item === name)?.carry ?? 0) - (name === less.item ? step : 0);
      expect(bruteEnough(repairs, plugs, carry)).toBeLessThan(0.95);
    }
  });

  test("a pool where nothing can fail needs an empty bag", () => {
    const bag = packBag([repair("plate", "lane", 0, 0.7)], [0, 0], 0.95);
    expect(bag.items.filter((i) => i.kind !== "tool").every((i) => i.carry === 0)).toBe(true);
    expect(bag.chanceEnough).toBe(1);
  });
});

// By hand: clean 0.92 * (1 - 0.022)^3, contaminated 0.08 * (1 - 0.77)^3.
test("prior of an unread plate with three circuits", () => {
  const plate = kestrelBay.connectors.find(({ point }) => point === "plate")!;
  const expected = 1 - 0.92 * 0.978 ** 3 - 0.08 * 0.23 ** 3;
  expect(priorAtFault(kestrelBay, plate, 3)).toBeCloseTo(expected, 12);
});
