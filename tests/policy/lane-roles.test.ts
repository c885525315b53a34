import { expect, test } from "vitest";
import { type CircuitName, circuitKey } from "../../src/domain/place.ts";
import { failureCostsOf, lanesLost, shareInUse } from "../../src/policy/lane-roles.ts";
import { tenLanes } from "../facility/ten-lanes.ts";

const known = tenLanes();
/** The pool anew: its lanes are laid out once. */
const anew = (): typeof known => ({ ...known });
const of = (lane: number | null, device: string, end: string | null = "start"): string =>
  circuitKey({ lane, device, end } as CircuitName);

// By hand, every other device sure to work: a lane on its fall-back costs 0.1, a dead fall-back beside
// a working first device nothing, a third button that the lane does not need next to nothing (0.02), a
// start's line a whole lane.
test("a dead fall-back beside a working first device loses nothing", () => {
  const pool = anew();
  const lost = lanesLost(pool, 0.1);
  const taking = (...keys: readonly string[]): number =>
    lost(pool.circuits.map((circuit) => (keys.includes(circuitKey(circuit)) ? 1 : 0)));
  expect(taking(of(2, "touchpad"))).toBeCloseTo(0.1, 12);
  expect(taking(of(2, "button-1"))).toBeCloseTo(0, 12);
  expect(taking(of(2, "button-3"))).toBeCloseTo(0.02, 12);
  const all = ["touchpad", "button-1", "button-2"].map((device) => of(2, device));
  expect(taking(...all)).toBeCloseTo(1, 12);
  expect(taking(of(null, "start", null))).toBeCloseTo(1, 12);
});

// By hand: pad 0.2, buttons 0.5 and 0.4 out: lost with 0.2 x 0.5 x 0.4 = 0.04, on its fall-backs with
// 0.2 x 0.8 at 0.1 each.
test("a lane is lost where all that it needs is, and costs a part on its fall-backs", () => {
  const chances = new Map([
    [of(2, "touchpad"), 0.2],
    [of(2, "button-1"), 0.5],
    [of(2, "button-2"), 0.4],
  ]);
  const pool = anew();
  const failing = pool.circuits.map((circuit) => chances.get(circuitKey(circuit)) ?? 0);
  const lost = lanesLost(pool, 0.1)(failing);
  expect(lost).toBeCloseTo(0.04 + 0.1 * (0.2 - 0.04), 12);
});

// By hand, lane 3, pads at both ends, other devices sure to work: either pad out costs the fall-back's
// share while the other end works.
test("a pad at each end of a lane is one device that must work at both", () => {
  const costs = failureCostsOf(anew(), 0.1, () => 0);
  expect(costs(of(3, "touchpad", "start"))).toBeCloseTo(0.1, 12);
  expect(costs(of(3, "touchpad", "turn"))).toBeCloseTo(0.1, 12);
});

// By hand, every other device sure to work: a fall-back beside a working pad costs nothing, which counts as
// the part 0.02 that any circuit is worth; a circuit of no lane is a lane of its own.
test("a circuit is worth something whatever hangs on it, and one of no lane a whole lane", () => {
  const costs = failureCostsOf(anew(), 0.1, () => 0);
  expect(costs(of(2, "button-1"))).toBeCloseTo(0.02, 12);
  expect(costs(of(2, "button-3"))).toBeCloseTo(0.02, 12);
  expect(costs(of(null, "start", null))).toBe(1);
  expect(costs("nowhere")).toBe(0.02);
});

// By definition: prices of circuits that fail together add up to what they add to the lane's cost.
test("failing together, circuits share what the lane costs; by themselves each pays its own part", () => {
  const pool = anew();
  const chances = new Map([
    [of(2, "touchpad"), 0.9],
    [of(2, "button-1"), 0.8],
    [of(2, "button-2"), 0.7],
  ]);
  const failing = (name: CircuitName): number => chances.get(circuitKey(name)) ?? 0;
  const together = failureCostsOf(pool, 0.1, failing, true);
  const lane = lanesLost(pool, 0.1)(pool.circuits.map(failing));
  const shared = [...chances].reduce((sum, [key, chance]) => sum + chance * together(key), 0);
  expect(shared).toBeCloseTo(lane, 9);
  // Alone, the pad's: lost with both buttons, 0.56, on them else; a button's: 0.9 of what the pad leaves.
  const alone = failureCostsOf(pool, 0.1, failing);
  expect(alone(of(2, "touchpad"))).toBeCloseTo(0.56 + 0.1 * 0.44, 9);
  expect(alone(of(2, "button-1"))).toBeCloseTo(0.9 * (0.7 - 0.1 * 0.7), 9);
});

test("of ten lanes a meet swims in so many; in all where nobody says", () => {
  expect(shareInUse(anew(), { lanesAtRisk: 4 })).toBe(0.4);
  expect(shareInUse(anew(), { lanesAtRisk: 40 })).toBe(1);
  expect(shareInUse(anew(), { lanesAtRisk: null })).toBe(1);
});
