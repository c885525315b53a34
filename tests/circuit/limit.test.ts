import { describe, expect, test } from "vitest";
import {
  limitLoad,
  limitOhms,
  limitVolts,
  limitVoltsOr0,
  mustShow,
} from "../../src/circuit/limit.ts";
import { loadIn } from "../../src/circuit/load-in.ts";
import { UNIT_LOAD } from "../../src/domain/pool.ts";
import { ohms, volts } from "../../src/domain/units.ts";
import { poolFrom } from "../plain-pool.ts";
import { deckMeter, demoPool } from "./demo-pool.ts";

const pool = poolFrom(demoPool);
const deck = { ...deckMeter, name: "deck", loadOhms: ohms(1000) };
const other = { ...deckMeter, name: "other", loadOhms: ohms(500) };
const supply = { emf: volts(5) };
const by = (meter: string) => ({ volts: volts(4.8), meter });
const inOhms = { ohms: ohms(40) };

describe("the limit in ohms", () => {
  test("of 4.8 V is 1000 (5/4.8 - 1) = 41.67 Ω on the meter that it names, 20.83 Ω on another", () => {
    const meters = [other, deck];
    expect(limitLoad(by("deck"), meters)).toBe(1000);
    expect(limitOhms({ limit: by("deck"), meters }, supply)).toBeCloseTo(1000 * (5 / 4.8 - 1), 9);
    expect(limitOhms({ limit: by("other"), meters }, supply)).toBeCloseTo(500 * (5 / 4.8 - 1), 9);
  });

  test("is what the file says where it says ohms, whatever the meter", () => {
    const meters = [{ ...deck, loadOhms: null }];
    expect(limitOhms({ limit: inOhms, meters }, supply)).toBe(40);
    expect(limitLoad(inOhms, [deck])).toBeNull();
  });

  test("is nobody's on a meter of unknown load, on none, and on one over 100 kΩ", () => {
    const on = (load: number | null) => [{ ...deck, loadOhms: load === null ? null : ohms(load) }];
    expect(limitOhms({ limit: by("deck"), meters: on(null) }, supply)).toBeNull();
    expect(limitLoad(by("lost"), [deck])).toBeNull();
    expect(limitOhms({ limit: by("lost"), meters: [deck] }, supply)).toBeNull();
    expect(limitOhms({ limit: by("deck"), meters: on(100_001) }, supply)).toBeNull();
    expect(limitOhms({ limit: by("deck"), meters: on(100_000) }, supply)).toBeCloseTo(
      100_000 * (5 / 4.8 - 1),
      6,
    );
  });
});

describe("the limit in volts", () => {
  test("of 40 Ω is 5 * 1000 / 1040 V on the first meter; none where its load is unknown", () => {
    const given = {
      limit: inOhms,
      meters: [deck, other],
      supplies: [{ ...pool.supplies[0]!, ...supply }],
    };
    expect(limitVolts(given)).toBeCloseTo(5000 / 1040, 12);
    expect(limitVoltsOr0(given)).toBeCloseTo(5000 / 1040, 12);
    const unknown = { ...given, meters: [{ ...deck, loadOhms: null }] };
    expect(limitVolts(unknown)).toBeNull();
    expect(limitVoltsOr0(unknown)).toBe(0);
  });

  test("is the file's own where it says volts", () => {
    expect(limitVolts({ limit: by("deck"), meters: [other], supplies: pool.supplies })).toBe(4.8);
    expect(limitVoltsOr0(pool)).toBe(pool.limitVolts);
  });
});

describe("what a meter must show before a path is called sound", () => {
  const circuit = pool.circuits[0]!;

  test("is the limit less wires and all other contacts at their median", () => {
    // Four contacts, three of them sound: 40 - wires - 3 * 0.2 (plain arithmetic).
    const wires = circuit.path.reduce((sum, { wireOhms }) => sum + wireOhms, 0);
    const { medianOhms } = pool.contact.sound;
    const limited = { ...pool, limit: inOhms };
    expect(circuit.path).toHaveLength(4);
    expect(mustShow(limited, circuit)).toBeCloseTo(40 - wires - 3 * medianOhms, 12);
  });

  test("is a median fouled contact where the limit judges nothing", () => {
    const unlimited = { ...pool, limit: by("lost") };
    expect(mustShow(unlimited, circuit)).toBe(pool.contact.fouled[0]!.medianOhms);
  });
});

test("a meter's load is the file's, else the walk's median, else one unit", () => {
  const at = (median: number) => ({ median, low: median, high: median });
  const load = (name: string, median: number) => ({ name, ohms: at(median), noise: at(0.02) });
  const loads = [load("other", 700), load("deck", 900)];
  expect(loadIn({ loads }, { name: "deck", loadOhms: ohms(1000) })).toBe(1000);
  expect(loadIn({ loads }, { name: "deck", loadOhms: null })).toBe(900);
  expect(loadIn({ loads }, { name: "third", loadOhms: null })).toBe(UNIT_LOAD);
});
