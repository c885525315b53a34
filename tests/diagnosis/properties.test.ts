import fc from "fast-check";
import { expect, test } from "vitest";
import { diagnose } from "../../src/diagnosis/diagnose.ts";
import type { WalkDiagnosis } from "../../src/domain/findings.ts";
import type { Pool } from "../../src/domain/pool.ts";
import type { Reading } from "../../src/domain/reading.ts";
import { smallPool } from "../reference/builders.ts";
import { seededRandom } from "../study/random.ts";
import { type SimulatedWalk, simulateWalk, takeReading } from "../study/simulate.ts";

// What must hold of any exact posterior of the model, whatever was read. A walk costs some tenths
// of a second, so runs are few; the seed is fixed where the claim is about most walks, not all.

const devices = ["touchpad", "button"];
const pool = smallPool([1, 2, 3], devices);
const circumstances = { missing: 0.1, meterOff: 0.02, allSound: false };

const anyWalk: fc.Arbitrary<SimulatedWalk> = fc
  .integer({ min: 1, max: 2 ** 31 })
  .map((seed) => simulateWalk(pool, seededRandom(seed), circumstances))
  .filter(({ readings }) => readings.length > 0);

const shuffled = <T>(all: readonly T[]): fc.Arbitrary<T[]> =>
  fc.shuffledSubarray([...all], { minLength: all.length, maxLength: all.length });

const keyOf = (one: { lane: unknown; device: unknown; point: string }): string =>
  JSON.stringify([one.lane, one.device, one.point]);

/** Every number that a diagnosis gives, by the name of what it is about. */
function numbers(found: WalkDiagnosis): Map<string, number> {
  const said = new Map<string, number>([["evidence", found.logEvidence]]);
  for (const [name, value] of Object.entries(found.emf)) said.set(`emf ${name}`, value);
  for (const one of found.contacts) {
    const { sound, fouled, open, voltsLost, ohms } = one;
    for (const [name, value] of Object.entries({ sound, fouled, open, voltsLost, ...ohms })) {
      said.set(`contact ${keyOf(one)} ${name}`, value);
    }
  }
  for (const one of found.connectors) said.set(`connector ${keyOf(one)}`, one.atFault);
  for (const { lane, device, underLimit } of found.circuits) {
    said.set(`limit ${lane} ${device}`, underLimit ?? -1);
  }
  return said;
}

function expectSame(one: WalkDiagnosis, other: WalkDiagnosis): void {
  const [expected, found] = [numbers(one), numbers(other)];
  expect([...found.keys()].sort()).toEqual([...expected.keys()].sort());
  for (const [name, value] of expected) {
    const there = found.get(name)!;
    if (there === value) continue;
    expect(Math.abs(there - value), name).toBeLessThan(1e-9 * Math.max(1, Math.abs(value)));
  }
}

test("neither the order of rows nor that of the pool file's lanes changes an answer", () => {
  const anyOrder = anyWalk.chain(({ readings }) =>
    fc.record({
      readings: fc.constant(readings),
      rows: shuffled(readings),
      lanes: shuffled(pool.lanes),
    }),
  );
  fc.assert(
    fc.property(anyOrder, ({ readings, rows, lanes }) => {
      expectSame(diagnose(pool, readings), diagnose({ ...pool, lanes }, rows));
    }),
    { numRuns: 5 },
  );
});

/** A walk with one lane more, which reads as sound contacts at their medians do, without noise. */
function withSoundLane({ readings, emf }: SimulatedWalk): { pool: Pool; readings: Reading[] } {
  const lane = 9;
  const bigger = smallPool([...pool.lanes, lane], devices);
  const still = {
    ...bigger,
    misread: 0,
    meters: bigger.meters.map((one) => ({ ...one, noise: 0 as typeof one.noise })),
  };
  const contacts = devices.flatMap((device) =>
    bigger.chain.map((link) => ({ lane, device, link, state: "sound" as const, ohms: 0.2 })),
  );
  const sound = contacts.map(({ device, link: { point } }, i) =>
    takeReading(still, seededRandom(1), { emf, contacts }, { lane, device, point }, 1000 + i),
  );
  return { pool: bigger, readings: [...readings, ...sound] };
}

test("a sound lane more is not accused, and makes no other connector a suspect", () => {
  fc.assert(
    fc.property(anyWalk, (walk) => {
      const before = diagnose(pool, walk.readings);
      const bigger = withSoundLane(walk);
      const after = diagnose(bigger.pool, bigger.readings);
      const known = new Map(before.connectors.map((one) => [keyOf(one), one.atFault]));
      for (const one of after.connectors) {
        const was = known.get(keyOf(one));
        if (one.lane === 9) expect(one.atFault).toBeLessThan(0.2);
        // The lane tells the supply's EMF better, so others move a little.
        else if (was !== undefined) expect(one.atFault).toBeLessThan(was + 0.15);
        if (one.atFault >= 0.5) expect(was).toBeGreaterThan(0.35);
      }
    }),
    { numRuns: 6, seed: 5 },
  );
});
