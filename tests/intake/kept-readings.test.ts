import fc from "fast-check";
import { expect, test } from "vitest";
import type { Reading } from "../../src/domain/reading.ts";
import { volts } from "../../src/domain/units.ts";
import { KeptReadings } from "../../src/intake/kept-readings.ts";
import { readMoment } from "../../src/intake/moment-text.ts";

const words = fc.constantFrom(
  "pod",
  "plate",
  "button-1",
  "ü €",
  "\u{1f3ca}",
  "\ufeffx",
  "__proto__",
);
const moment = fc
  .constantFrom("2026-05-02", "2026-05-02T10:15", "2026-05-02 10:15:00.25+02:00", "20260503T11")
  .map((text) => readMoment(text));
const anyReading: fc.Arbitrary<Reading> = fc.record({
  lane: fc.option(fc.oneof(fc.integer({ min: 0, max: 99 }), words), { nil: null }),
  device: words,
  end: fc.option(words, { nil: null }),
  point: words,
  volts: fc.double({ min: 0, max: 7.5, noNaN: true }).map(volts),
  step: fc.constantFrom(0.1, 0.01, 1e-4).map(volts),
  takenAt: fc.option(moment, { nil: null }),
  walk: fc.constantFrom("a", "b", "2026-05-02"),
  meter: words,
  id: fc.option(words, { nil: null }),
  meterOn: fc.boolean(),
  state: fc.constantFrom("rest" as const, "pressed" as const, "moved" as const),
  by: fc.option(words, { nil: null }),
  note: fc.option(fc.string({ unit: "grapheme" }), { nil: null }),
  line: fc.integer({ min: 2, max: 4_000_000_000 }),
});

test("what comes out is what was put in, walk by walk, in order", () => {
  fc.assert(
    fc.property(fc.array(anyReading, { maxLength: 40 }), (readings) => {
      const kept = new KeptReadings();
      for (const one of readings) kept.add(one);
      expect(kept.size).toBe(readings.length);
      const walks = kept.walks();
      expect(walks.map(({ walk }) => walk)).toEqual([...new Set(readings.map((one) => one.walk))]);
      for (const { walk, start, readings: own } of walks) {
        const expected = readings.filter((one) => one.walk === walk);
        expect(own()).toEqual(expected);
        const days = expected.flatMap(({ takenAt }) => takenAt?.day ?? []).sort();
        const seconds = expected.flatMap(({ takenAt }) => takenAt?.seconds ?? []);
        expect(start.day).toBe(days[0] ?? null);
        expect(start.seconds).toBe(seconds.length > 0 ? Math.min(...seconds) : null);
      }
    }),
  );
});

test("rows and texts that fill many blocks come out whole, also where walks lie interleaved", () => {
  const kept = new KeptReadings();
  const [one] = fc.sample(anyReading, { numRuns: 1, seed: 7 });
  const at = (i: number): Reading => ({
    ...one!,
    walk: `w${i % 3}`,
    note: `${i} ${"x".repeat(i % 90)}`,
    line: i,
  });
  for (let i = 0; i < 50_000; i++) kept.add(at(i));
  const [, second] = kept.walks();
  const expected = Array.from({ length: 50_000 }, (_, i) => i).filter((i) => i % 3 === 1);
  expect(second?.readings()).toEqual(expected.map(at));
});
