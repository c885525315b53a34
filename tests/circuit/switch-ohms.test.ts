import fc from "fast-check";
import { expect, test } from "vitest";
import { ladderVolts, pathLadder } from "../../src/circuit/ladder.ts";
import { type PressedReading, readingInterval, switchOhms } from "../../src/circuit/switch-ohms.ts";
import type { Estimate } from "../../src/domain/findings.ts";
import { ohms, volts } from "../../src/domain/units.ts";

const sure = (value: number): Estimate => ({ median: value, low: value, high: value });
const pressed = (over: Partial<PressedReading>): PressedReading => ({
  emf: sure(5),
  sourceOhms: ohms(100),
  loadOhms: ohms(1000),
  seriesOhms: sure(20),
  beyondOhms: sure(0),
  reading: sure(0.2),
  ...over,
});

test("a reading of 0.2 V behind 120 Ω means a switch of 5.025 Ω beside a meter of 1 kΩ", () => {
  // Current 4.8 V / 120 Ω = 40 mA; 0.2 mA of it through the meter; 0.2 V / 39.8 mA (plain arithmetic).
  expect(switchOhms(pressed({})).median).toBeCloseTo(0.2 / 39.8e-3, 10);
});

test("the ladder's reading gives its switch back, wherever the meter sits", () => {
  const quantity = (low: number, high: number) => fc.double({ min: low, max: high, noNaN: true });
  fc.assert(
    fc.property(
      fc.array(quantity(0.1, 100), { minLength: 1, maxLength: 5 }),
      quantity(0.5, 2000),
      quantity(1, 1000),
      fc.nat(),
      (series, device, source, pick) => {
        const position = 1 + (pick % series.length);
        const path = pathLadder(volts(5), ohms(source), series.map(ohms), ohms(device));
        const sum = (part: number[]) => part.reduce((a, b) => a + b, 0);
        const found = switchOhms(
          pressed({
            sourceOhms: ohms(source),
            seriesOhms: sure(sum(series.slice(0, position))),
            beyondOhms: sure(sum(series.slice(position))),
            reading: sure(ladderVolts(path, position, ohms(1000))),
          }),
        );
        expect(found.median / device).toBeCloseTo(1, 6);
      },
    ),
  );
});

test("an uncertain reading gives an interval around the switch", () => {
  const found = switchOhms(
    pressed({ reading: readingInterval(volts(0.2), volts(0.01), volts(0.02)) }),
  );
  // 0.2 V give or take 1.6449 * sqrt(0.02^2 + 0.01^2 / 12) V, then as above (plain arithmetic).
  const half = 1.6448536269514722 * Math.sqrt(0.0004 + 0.0001 / 12);
  const at = (v: number) => v / ((5 - v) / 120 - v / 1000);
  expect(found.low).toBeCloseTo(at(0.2 - half), 10);
  expect(found.high).toBeCloseTo(at(0.2 + half), 10);
});

test("a line that pressing does not move has no closed switch", () => {
  const atRest = 5 * (1000 / 1120);
  expect(switchOhms(pressed({ reading: sure(atRest + 1e-9) })).median).toBe(
    Number.POSITIVE_INFINITY,
  );
  const open = switchOhms(
    pressed({ seriesOhms: sure(Number.POSITIVE_INFINITY), reading: sure(0) }),
  );
  expect(open.median).toBe(Number.POSITIVE_INFINITY);
});

test("a line at 0 is a dead short, and no switch is below it", () => {
  expect(switchOhms(pressed({ reading: sure(0) })).median).toBe(0);
  expect(switchOhms(pressed({ beyondOhms: sure(50) })).median).toBe(0);
});
