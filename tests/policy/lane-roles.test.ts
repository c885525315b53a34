import { expect, test } from "vitest";
import { type CircuitName, circuitKey } from "../../src/domain/place.ts";
import { failureCostsOf, lossTogether, lostLane } from "../../src/policy/lane-roles.ts";
import { tenLanes } from "../facility/ten-lanes.ts";

const pool = tenLanes();
const of = (lane: number | null, device: string, end: string | null = "start"): string =>
  circuitKey({ lane, device, end } as CircuitName);
const taking = (...keys: readonly string[]): ReadonlySet<string> => new Set(keys);

// By hand, every other device sure to work: a lane on its fall-back costs 0.1, a dead fall-back and
// a third button that the lane does not need next to nothing (0.02), a start's line a whole lane.
test("a dead fall-back beside a working first device loses nothing", () => {
  expect(lossTogether(pool, 0.1, taking(of(2, "touchpad")))).toBeCloseTo(0.1, 12);
  expect(lossTogether(pool, 0.1, taking(of(2, "button-1")))).toBeCloseTo(0.02, 12);
  expect(lossTogether(pool, 0.1, taking(of(2, "button-3")))).toBeCloseTo(0.02, 12);
  const all = ["touchpad", "button-1", "button-2"].map((device) => of(2, device));
  expect(lossTogether(pool, 0.1, taking(...all))).toBeCloseTo(1, 12);
  expect(lossTogether(pool, 0.1, taking(of(null, "start", null)))).toBeCloseTo(1, 12);
});

// By hand: pad 0.2, buttons 0.5 and 0.4 out: lost with 0.2 x 0.5 x 0.4 = 0.04; a plate that takes all
// three with 0.1 leaves 1 - 0.9 x 0.96.
test("a lane is lost where all that it needs is, what they share taking them together", () => {
  const troubles = [
    { takes: taking(of(2, "touchpad")), chance: 0.2 },
    { takes: taking(of(2, "button-1")), chance: 0.5 },
    { takes: taking(of(2, "button-2")), chance: 0.4 },
    { takes: taking(of(2, "button-3")), chance: 1 },
  ];
  const lost = lostLane(pool, 2);
  expect(lost(troubles)).toBeCloseTo(0.04, 12);
  const plate = taking(...["touchpad", "button-1", "button-2"].map((device) => of(2, device)));
  expect(lost([...troubles, { takes: plate, chance: 0.1 }])).toBeCloseTo(1 - 0.9 * 0.96, 12);
});

// By hand, lane 3, pads at both ends, other devices sure to work: either pad out costs the fall-back's
// share while the other end works.
test("a pad at each end of a lane is one device that must work at both", () => {
  const costs = failureCostsOf(pool, 0.1, () => 0);
  expect(costs(of(3, "touchpad", "start"))).toBeCloseTo(0.1, 12);
  expect(costs(of(3, "touchpad", "turn"))).toBeCloseTo(0.1, 12);
});
