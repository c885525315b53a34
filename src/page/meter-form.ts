import { detectionLimit, oneInTwenty } from "../rooms/circuit-room.ts";
import { seesLimit } from "../rooms/diagnosis-room.ts";
import type { Pool } from "../rooms/domain-room.ts";
import { volts } from "../rooms/domain-room.ts";

/** A kind of meter, as somebody who holds it would tell it. */
export interface MeterKind {
  readonly id: "draws" | "resistor" | "multimeter" | "unknown";
  readonly label: string;
  /** Where its load is found, or how it is measured. */
  readonly help: string;
  /** What its load is where nobody writes one [ohm]; null: it must be written. */
  readonly load: string | null;
}

/** Ten megohms: an ordinary digital multimeter's input on its volts ranges, common practice [ohm]. */
const MULTIMETER = "10000000";

export const meterKinds: readonly MeterKind[] = [
  {
    id: "draws",
    label: "A tester that draws current",
    help:
      "Its load stands on its plate or in its leaflet as ohms. Where it doesn’t: put an ohmmeter across its " +
      "two leads while it is switched on, and write down what that shows.",
    load: null,
  },
  {
    id: "resistor",
    label: "A multimeter with a resistor across its leads",
    help: "Write the resistor’s ohms: 1000 is a good choice. A quarter-watt resistor stands 5 V easily.",
    load: null,
  },
  {
    id: "multimeter",
    label: "An ordinary multimeter, nothing added",
    help:
      "It draws almost no current, so a bad connector shows full volts on it. Put a resistor of 1000 ohms " +
      "across its leads and choose that kind instead.",
    load: MULTIMETER,
  },
  {
    id: "unknown",
    label: "I don’t know",
    help:
      "Walk with it all the same: open paths show, and so does what differs between lanes. Nothing can be called " +
      "sound until its load is known. To find out, put an ohmmeter across its leads while it is on.",
    load: "unknown",
  },
];

/** Meters of this pool that could not show a path at its limit: no walk with them can clear anything. */
export function blindMeters(pool: Pool): readonly string[] {
  return pool.meters
    .filter((meter) => {
      const step = meter.resolution ?? volts(0.01);
      const limit = detectionLimit(pool, meter, step, oneInTwenty);
      const sight = { detectionLimit: limit.contact };
      return limit.unit === "ohm" && !pool.circuits.some((one) => seesLimit(pool, one, sight));
    })
    .map(({ name }) => name);
}
