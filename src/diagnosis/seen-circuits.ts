import { readingVolts } from "../circuit/divider.ts";
import { limitLoad, limitOhms } from "../circuit/limit.ts";
import { type Circuit, lastPoint } from "../domain/circuit.ts";
import type { ConductingFinding, ContactFinding, MeterSight } from "../domain/findings.ts";
import { circuitOf } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import { isResting, type Reading } from "../domain/reading.ts";
import { type Ohms, ohms } from "../domain/units.ts";
import type { WalkInference } from "../inference/infer.ts";
import { seesLimit } from "./meter-sight.ts";
import type { SeenCircuit, SeenReading } from "./verdict.ts";
import type { PosedWalk } from "./walk-problem.ts";

/** Of a reading that nothing was found about. */
const unseen = { misread: 0, off: 0, badMoment: 0, expected: { below: 0.5, same: 0 } };

/** What was found so far, by circuit where it is a list of lists. */
interface Found {
  readonly meters: readonly MeterSight[];
  /** Points to read again where the readings do not fit; none: they fit. */
  readonly misfits: readonly (readonly string[])[];
  readonly byCircuit: readonly (readonly ContactFinding[])[];
  readonly conducting: readonly (readonly ConductingFinding[])[];
}

/** Every circuit read, with all that the rules of the verdict look at. */
export function seenCircuits(
  pool: Pool,
  posed: PosedWalk,
  inference: WalkInference,
  { meters, misfits, byCircuit, conducting }: Found,
): readonly SeenCircuit[] {
  const own = posed.circuits.map((): SeenReading[] => []);
  const indexOf = new Map(posed.circuits.map((circuit, c) => [circuit, c]));
  for (const [number, reading] of posed.order.readings.entries()) {
    const circuit = circuitOf(pool, reading)!;
    const doubts = inference.readings.get(number) ?? unseen;
    const isLow = isResting(reading) && isUnderLimit(pool, circuit, reading);
    own[indexOf.get(circuit)!]!.push({ reading, isLow, ...doubts });
  }
  return posed.circuits.map((circuit, c): SeenCircuit => {
    const ends = own[c]!.filter(
      ({ reading }) => isResting(reading) && reading.point === lastPoint(circuit),
    );
    const metersAtEnd = meters.filter(({ meter }) =>
      ends.some(({ reading }) => reading.meter === meter),
    );
    return {
      circuit,
      contacts: byCircuit[c]!,
      conducting: conducting[c]!,
      underLimit: inference.circuits[c]!.underLimit,
      limitNeeds: limitLoad(pool.limit, pool.meters) === null ? "unknown-load" : "blind-meter",
      readings: own[c]!,
      seesLimit: metersAtEnd.some((sight) => seesLimit(pool, circuit, sight)),
      loadUnknown: metersAtEnd.every(({ meter }) => loadOf(pool, meter) === null),
      misfits: misfits[c]!,
    };
  });
}

const loadOf = ({ meters }: Pool, name: string): Ohms | null =>
  meters.find((meter) => meter.name === name)?.loadOhms ?? null;

/** It shows less than its meter would at the limit, at the nominal EMF. */
function isUnderLimit(pool: Pool, { supply }: Circuit, { volts, meter }: Reading): boolean {
  const most = limitOhms(pool, supply);
  const load = loadOf(pool, meter);
  if (most === null || load === null) return "volts" in pool.limit && volts < pool.limit.volts;
  return volts < readingVolts(supply.emf, load, ohms(0), most);
}
