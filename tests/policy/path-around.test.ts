import { expect, test } from "vitest";
import type { Pool } from "../../src/domain/pool.ts";
import { madePool } from "../../src/intake/pool/made-pool.ts";
import {
  contactBehind,
  pathAround,
  pathLimit,
  readingAt,
  timerSays,
} from "../../src/policy/path-around.ts";

/** Wire of 2 and 0.3 ohm, two contacts of 0.2 when sound, 5 V behind no source on a meter of 1000 ohm. */
const made = (more: Readonly<Record<string, unknown>> = {}): Pool =>
  madePool({
    ...{ pool: "Kestrel Bay", model: "plain", lanes: 1, devices: ["touchpad"] },
    chain: [
      { point: "plate", connector: "plate", shared_by: "lane", wire_ohms: 2 },
      { point: "pod", connector: "pod", shared_by: "device", wire_ohms: 0.3 },
    ],
    ...more,
  });
const around = (pool: Pool) => pathAround(pool, pool.circuits[0]!);

// By hand: 2 + 0.3 ohm of wire and one other contact of 0.2; equation (1) of src/MODEL.md.
test("the path around a contact is its wire and the other contacts, sound", () => {
  const path = around(made());
  expect(path).toMatchObject({ emf: 5, loadOhms: 1000, sourceOhms: 0 });
  expect(path.restOhms).toBeCloseTo(2.5, 12);
  expect(readingAt(path, 60)).toBeCloseTo(5000 / 1062.5, 12);
  expect(readingAt(path, 60, 10)).toBeCloseTo(5000 / 1072.5, 12);
  expect(contactBehind(path, 5000 / 1062.5)).toBeCloseTo(60, 9);
  expect(contactBehind(path, 5000 / 1072.5, 10)).toBeCloseTo(60, 9);
});

test("a source of 100 ohm lies before the path", () => {
  const path = around(made({ supply: { emf: 5, source_ohms: 100 } }));
  expect(readingAt(path, 60)).toBeCloseTo(5000 / 1162.5, 12);
  expect(contactBehind(path, 5000 / 1162.5)).toBeCloseTo(60, 9);
});

test("a path is low at the facility's limit: in volts by its meter, in ohms as they stand", () => {
  const at = (more: Readonly<Record<string, unknown>>): number => {
    const pool = made(more);
    return pathLimit(pool, pool.circuits[0]!);
  };
  // 5000 / 4.8 - 1000.
  expect(at({ limit: { volts: 4.8 } })).toBeCloseTo(41.6667, 3);
  expect(at({ limit: { ohms: 41 } })).toBe(41);
  // Nobody knows the load: on a stand-in of 1000 ohm.
  const unknown = { meters: [{ name: "deck", load_ohms: "unknown" }] };
  expect(at({ ...unknown, limit: { volts: 4 } })).toBeCloseTo(250, 9);
  // The timer's own threshold: 100 x 0.8 / (5 - 0.8), less 5 ohm for the closed switch.
  const input = { timer_input: { low_max: 0.8, high_min: 2 } };
  expect(at({ ...input, supply: { source_ohms: 100 } })).toBeCloseTo(80 / 4.2 - 5, 9);
  expect(at({ ...input, limit: { volts: 4.8 } })).toBeCloseTo(41.6667, 3);
});

test("the timer says where a touch is lost only if its threshold and its source are known", () => {
  const says = (more: Readonly<Record<string, unknown>>): boolean => {
    const pool = made(more);
    return timerSays(pool, pool.circuits[0]!);
  };
  const input = { timer_input: { low_max: 0.8, high_min: 2 } };
  expect(says({})).toBe(false);
  expect(says(input)).toBe(false);
  expect(says({ supply: { source_ohms: 100 } })).toBe(false);
  expect(says({ ...input, supply: { source_ohms: 100 } })).toBe(true);
});
