import { expect, test } from "vitest";
import type { WorkAction } from "../../src/domain/work.ts";
import { contactHistories } from "../../src/history/contact-history.ts";
import { floorCreep, floorsOf } from "../../src/history/floor-creep.ts";
import { findingOf, poolOf, walkOf, workOf } from "./synthetic.ts";

const pool = poolOf(1, ["plate"]);
const CYCLE = 13;

/** Quarters that begin with a cleaning and a walk that finds the floor to a tenth of itself. */
function creepOf(
  floors: readonly number[],
  action: (cycle: number) => WorkAction = () => "cleaned",
) {
  const work = floors.map((_, cycle) => workOf(7 * CYCLE * cycle - 1, action(cycle), "plate"));
  const where = { lane: 1, device: "touchpad", point: "plate" };
  const walks = floors.map((floor, cycle) =>
    walkOf(7 * CYCLE * cycle, [findingOf(pool, where, floor, 0.1)], 0.3),
  );
  const [history] = contactHistories(pool, walks, work);
  const known = Float64Array.from(floors, (floor) => (0.1 * floor) ** 2);
  const seen = floorsOf(history!, walks, Float64Array.from(floors), known, pool.contact);
  return floorCreep(history!, seen, pool.contact, 7 * CYCLE * floors.length);
}

test("a floor that comes back to the same place does not creep", () => {
  const found = creepOf([0.5, 0.5, 0.5, 0.5, 0.5, 0.5]);
  expect(found.floors).toHaveLength(6);
  expect(found.creep.low).toBeLessThan(0);
  expect(found.creep.high).toBeGreaterThan(0);
  expect(found.nextFloor.median).toBeGreaterThan(0.35);
  expect(found.nextFloor.median).toBeLessThan(0.65);
});

test("a floor that doubles from quarter to quarter creeps, and the next one is higher still", () => {
  const found = creepOf([0.4, 0.8, 1.6, 3.2, 6.4, 12.8]);
  expect(found.rising).toBeGreaterThan(0.95);
  expect(found.creep.low).toBeGreaterThan(0);
  expect(found.nextFloor.median).toBeGreaterThan(6);
  expect(found.nextFloor.high).toBeGreaterThan(25);
});

test("a new part begins a new row of floors", () => {
  const found = creepOf([0.4, 0.8, 1.6, 3.2, 0.4, 0.4], (cycle) =>
    cycle === 4 ? "replaced" : "cleaned",
  );
  expect(found.floors.map(({ begunBy }) => begunBy)).toEqual(["replaced", "cleaned"]);
  expect(found.rising).toBeLessThan(0.8);
});

test("without a floor the next one is a sound contact's", () => {
  const walks = [
    walkOf(0, [findingOf(pool, { lane: 1, device: "touchpad", point: "plate" }, 30, 3)]),
  ];
  const [history] = contactHistories(pool, walks, []);
  const { floors, nextFloor } = floorCreep(history!, [], pool.contact, 7);
  expect(floors).toEqual([]);
  expect(nextFloor.median).toBeCloseTo(0.2, 9);
});

test("a contact that no cleaning brings down is not expected to come down by the next", () => {
  // Floors about 60 ohm are the fouled contact of the pool file (median 60), not its sound one (0.2).
  const { floors, nextFloor } = creepOf([60, 64, 62, 66]);
  const medians = floors.map(({ ohms }) => ohms.median);
  expect(nextFloor.median).toBeGreaterThan(0.9 * Math.min(...medians));
  expect(nextFloor.median).toBeLessThan(1.1 * Math.max(...medians));
});
