import { type EnteredReading, freshId, rowOfEntered, withRows } from "./ledger.ts";
import { localMoment } from "./local-time.ts";
import { newFile, newRecord, type PoolRecord } from "./record.ts";

/** An invented pool with one walk behind it: lane 3 is bad at the plate, lane 6 at the pod. */
const poolFile = `# An invented pool, to look around in.
pool: Sample pool
lanes: 8
devices: [touchpad]
supply: { emf: 5.0, source_ohms: 0 }
meters: [{ name: deck, load_ohms: 1000, resolution: 0.01, off_after: [90, 120] }]
limit: { volts: 4.8, meter: deck }
`;

/** In the order in which somebody walked: lane, point, volts. */
const walk: readonly (readonly [number, string, string])[] = [
  ...[[1, "pod", "4.98"] as const, [2, "pod", "4.98"] as const, [3, "pod", "4.61"] as const],
  ...[[3, "plate", "4.62"] as const, [3, "harness", "4.98"] as const],
  ...[[4, "pod", "4.97"] as const, [5, "pod", "4.98"] as const, [6, "pod", "4.46"] as const],
  ...[
    [6, "plate", "4.98"] as const,
    [6, "pod", "4.47"] as const,
    [7, "pod", "4.98"] as const,
    [8, "pod", "4.97"] as const,
  ],
];

/** Half a minute from one reading to the next [ms]. */
const pace = 30_000;

export function samplePool(now: Date): PoolRecord {
  const begun = now.getTime() - pace * walk.length;
  const rows = walk.map(([lane, point, volts], index) => {
    const entered: EnteredReading = {
      ...{ lane: String(lane), device: "touchpad", end: "", point, volts, meter: "deck" },
      taken_at: localMoment(new Date(begun + pace * index)),
      meter_on: index % 4 === 0 ? "yes" : "",
    };
    return rowOfEntered(entered, freshId());
  });
  const record = newRecord(crypto.randomUUID(), "Sample pool", newFile("pool.yaml", poolFile));
  return { ...record, ledger: withRows(null, rows, () => "readings.csv") };
}
