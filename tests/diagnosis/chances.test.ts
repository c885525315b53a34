import fc from "fast-check";
import { expect, test } from "vitest";
import { diagnose } from "../../src/diagnosis/diagnose.ts";
import { readPool, readReadings } from "../../src/rooms/intake-room.ts";
import { TWO_CONTACTS } from "../season/carried/two-contacts.ts";

// Kolmogorov's axioms: chances of states that exclude each other add to 1, and none is outside 0 to 1.
const volts = fc.integer({ min: 430, max: 505 }).map((hundredths) => (hundredths / 100).toFixed(2));
const place = fc.constantFrom("plate", "pod");

test("whatever is read, a contact's states add to 1 and nothing is likelier than certain", () => {
  const pool = readPool(TWO_CONTACTS, "pool.yaml");
  if (!pool.ok) throw new Error("the pool file is refused");
  fc.assert(
    fc.property(fc.array(fc.tuple(place, volts), { minLength: 1, maxLength: 5 }), (rows) => {
      const sheet = rows.map(([point, shown]) => `1,touchpad,${point},${shown}`).join("\n");
      const { readings } = readReadings(`lane,device,point,volts\n${sheet}\n`, pool.value, "a.csv");
      const { contacts, connectors } = diagnose(pool.value, readings);
      for (const { sound, fouled, open, intermittent } of contacts) {
        expect(sound + fouled + open + intermittent).toBeCloseTo(1, 12);
        expect(Math.min(sound, fouled, open, intermittent)).toBeGreaterThanOrEqual(0);
      }
      for (const { atFault } of connectors) {
        expect(atFault).toBeGreaterThanOrEqual(0);
        expect(atFault).toBeLessThanOrEqual(1);
      }
    }),
    { numRuns: 10, seed: 7 },
  );
});
