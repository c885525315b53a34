import { expect, test } from "vitest";
import { readingVolts } from "../../src/circuit/divider.ts";
import { ohms, volts } from "../../src/domain/units.ts";
import { limitOhms } from "../../src/history/limit-ohms.ts";
import { pool } from "../report/fixture.ts";

const contact = (point: string, median: number) => ({
  lane: 3,
  device: "touchpad",
  end: null,
  point,
  ohms: { median, low: median, high: median },
});
const path = [
  contact("timer", 0.2),
  contact("harness", 4),
  contact("plate", 20),
  contact("pod", 1),
];

test("a contact at its limit puts the last point on the facility's limit", () => {
  const limit = limitOhms(pool, path, "plate", 4.99)!;
  const wires = 0.1 + 0.6 + 2 + 0.3;
  const series = wires + 0.2 + 4 + 1 + limit;
  // Worked forward again with equation (1): V = E RL / (RL + S).
  expect((4.99 * 1000) / (1000 + series)).toBeCloseTo(4.8, 10);
  expect(readingVolts(volts(4.99), ohms(1000), ohms(0), ohms(series))).toBeCloseTo(4.8, 10);
});

test("a path that is under the limit without it has no limit for it", () => {
  const others = [contact("harness", 90), contact("plate", 2)];
  expect(limitOhms(pool, others, "plate", 4.99)).toBeNull();
  const unknown = { ...pool, meters: [{ ...pool.meters[0]!, loadOhms: null }] };
  expect(limitOhms(unknown, path, "plate", 4.99)).toBeNull();
});
