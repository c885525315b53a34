import { describe, expect, test } from "vitest";
import { circuitMargins } from "../../src/circuit/circuit-margins.ts";
import { ladderVolts, pathLadder, timerInputVolts } from "../../src/circuit/ladder.ts";
import { ttlInput } from "../../src/circuit/margins.ts";
import type { ContactFinding, Estimate } from "../../src/domain/findings.ts";
import type { Reading } from "../../src/domain/reading.ts";
import { ohms, volts } from "../../src/domain/units.ts";
import { steady } from "../made-findings.ts";
import { poolFrom } from "../plain-pool.ts";
import { deckMeter, demoPool } from "./demo-pool.ts";

// A path of wires 0.1, 0.6, 2.0, 0.3 Ω and contacts 0.2, 0.3, 25, 0.4 Ω, a switch of 4 Ω, on a 5 V
// TTL input behind 1 kΩ. Readings come from the ladder, which ngspice confirms.
const wires = [0.1, 0.6, 2.0, 0.3];
const contacts = [0.2, 0.3, 25, 0.4];
const series = wires.map((wire, k) => ohms(wire + contacts[k]!));
const pool = poolFrom({
  ...demoPool,
  supply: { ...demoPool.supply, sourceOhms: ohms(1000) },
  timerInput: ttlInput,
  meters: [{ ...deckMeter, noise: volts(0), resolution: volts(1e-9) }],
});
const circuit = { lane: 1, device: "touchpad", end: null };
const sure = (value: number): Estimate => ({ median: value, low: value, high: value });
const finding = (point: string, resistance: Estimate): ContactFinding => ({
  ...circuit,
  point,
  sound: 1,
  fouled: 0,
  open: 0,
  ...steady,
  ohms: resistance,
  voltsLost: 0,
});
const walk = {
  emf: sure(5),
  contacts: pool.chain.map(({ point }, k) => finding(point, sure(contacts[k]!))),
};
const reading = (at: number, state: "rest" | "pressed", over: Partial<Reading> = {}): Reading => ({
  ...circuit,
  point: pool.chain[at]!.point,
  volts: volts(ladderVolts(pathLadder(volts(5), ohms(1000), series, ohms(4)), at + 1, ohms(1000))),
  step: volts(1e-9),
  takenAt: null,
  walk: "w",
  meter: "deck",
  id: null,
  meterOn: false,
  state,
  by: null,
  note: null,
  line: 2,
  ...over,
});
const known = (...args: Parameters<typeof circuitMargins>) => {
  const found = circuitMargins(...args);
  if (found.kind !== "known") throw new Error(`asked for ${found.missing}`);
  return found;
};

describe("a circuit with one fouled contact", () => {
  test.each([0, 2, 3])("pressed and read at point %d, it may gain what the ladder says", (at) => {
    const { touch, switchKnown } = known(pool, walk, circuit, [reading(at, "pressed")]);
    expect(switchKnown).toBe(true);
    const longer = [...series, ohms(touch.median)];
    const input = timerInputVolts(pathLadder(volts(5), ohms(1000), longer, ohms(4)));
    expect(input).toBeCloseTo(0.8, 6);
    expect(touch.low).toBeCloseTo(touch.high, 5);
  });

  test("rests high until a leak takes the ladder's input down to 2 V", () => {
    const { rest } = known(pool, walk, circuit, []);
    const input = timerInputVolts(pathLadder(volts(5), ohms(1000), series, ohms(rest.median)));
    expect(input).toBeCloseTo(2, 9);
  });

  test("other circuits' pressed readings and its own at rest say nothing about the switch", () => {
    const others = [reading(3, "pressed", { lane: 2 }), reading(3, "rest")];
    expect(known(pool, walk, circuit, others).switchKnown).toBe(false);
  });

  test("of two pressed readings the one that tells more about the switch counts", () => {
    const coarse = { ...deckMeter, name: "coarse", noise: volts(0.005) };
    const both = { ...pool, meters: [...pool.meters, coarse] };
    const rough = reading(3, "pressed", { meter: "coarse", volts: volts(0.03) });
    const alone = known(both, walk, circuit, [reading(3, "pressed")]).touch;
    for (const order of [
      [rough, reading(3, "pressed")],
      [reading(3, "pressed"), rough],
    ]) {
      expect(known(both, walk, circuit, order).touch).toEqual(alone);
    }
    expect(known(both, walk, circuit, [rough]).touch.low).toBeLessThan(alone.low - 1);
  });

  test("a pressed reading on a meter of unknown load, or none, leaves the switch unknown", () => {
    const unknown = { ...pool, meters: [{ ...deckMeter, loadOhms: null }] };
    expect(known(unknown, walk, circuit, [reading(3, "pressed")]).switchKnown).toBe(false);
    expect(known(pool, walk, circuit, [reading(3, "pressed", { meter: "lost" })]).switchKnown).toBe(
      false,
    );
  });

  test("an uncertain contact widens both margins by as much", () => {
    const wide = { median: 25, low: 20, high: 40 };
    const unsure = walk.contacts.map((one) =>
      one.ohms.median === 25 ? { ...one, ohms: wide } : one,
    );
    const { touch, rest } = known(pool, { ...walk, contacts: unsure }, circuit, []);
    expect(touch.high - touch.low).toBeCloseTo(20, 9);
    expect(rest.high - rest.low).toBeCloseTo(20, 9);
  });
});

test("a circuit that the walk did not read is a mistake of the program", () => {
  expect(() => circuitMargins(pool, walk, { lane: 9, device: "touchpad", end: null }, [])).toThrow(
    "no circuit",
  );
});

test("so is a circuit of which the walk has some contacts only, said with its name", () => {
  const some = { ...walk, contacts: walk.contacts.slice(1) };
  expect(() => circuitMargins(pool, some, circuit, [])).toThrow(/no contacts of .*touchpad/);
});

test("a pressed reading somewhere off the path says nothing about the switch", () => {
  const stray = reading(3, "pressed", { point: "elsewhere" });
  expect(known(pool, walk, circuit, [stray]).switchKnown).toBe(false);
});

test("the display's step is the meter's, else the reading's own", () => {
  const spread = (resolution: number | null, step: number): number => {
    const meters = [
      { ...deckMeter, noise: volts(0), resolution: resolution === null ? null : volts(resolution) },
    ];
    const one = reading(3, "pressed", { step: volts(step), volts: volts(0.1) });
    const { touch } = known({ ...pool, meters }, walk, circuit, [one]);
    return touch.high - touch.low;
  };
  expect(spread(0.02, 0.001)).toBe(spread(0.02, 0.05));
  expect(spread(null, 0.05)).toBe(spread(0.05, 0.001));
  expect(spread(null, 0.05)).toBeGreaterThan(2 * spread(0.02, 0.05));
});

test("a pressed reading that bounds the switch is preferred to one that leaves it without end", () => {
  // One shows nearly what rests there: the switch may not close at all.
  const high = reading(3, "pressed", { volts: volts(2.4) });
  const meters = [{ ...deckMeter, noise: volts(0.1), resolution: volts(1e-9) }];
  const noisy = { ...pool, meters };
  const low = reading(3, "pressed", { volts: volts(0.3) });
  const alone = known(noisy, walk, circuit, [low]).touch;
  expect(known(noisy, walk, circuit, [high]).touch.low).toBe(Number.NEGATIVE_INFINITY);
  expect(known(noisy, walk, circuit, [high, low]).touch).toEqual(alone);
  expect(known(noisy, walk, circuit, [low, high]).touch).toEqual(alone);
});

test("the narrower interval counts, though the wider one ends lower", () => {
  const coarse = { ...deckMeter, name: "coarse", noise: volts(0.005) };
  const both = { ...pool, meters: [...pool.meters, coarse] };
  const low = reading(3, "pressed", { meter: "coarse", volts: volts(0.15) });
  const high = reading(3, "pressed", { volts: volts(0.3) });
  const [wide, narrow] = [low, high].map((one) => known(both, walk, circuit, [one]).touch);
  // More ohms at the switch leave less room: the wide one has more room at both ends.
  expect(wide!.low).toBeGreaterThan(narrow!.high);
  expect(wide!.high - wide!.low).toBeGreaterThan(narrow!.high - narrow!.low + 1);
  expect(known(both, walk, circuit, [low, high]).touch).toEqual(narrow);
  expect(known(both, walk, circuit, [high, low]).touch).toEqual(narrow);
});
