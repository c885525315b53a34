import { expect, test } from "vitest";
import { madePool } from "../../../src/intake/pool/made-pool.ts";
import { readReadings } from "../../../src/intake/read-readings.ts";
import { readWorkLog } from "../../../src/intake/read-work-log.ts";
import { followSeason } from "../../../src/season/follow-season.ts";

/** An invented pool of three links, one shared by half the lanes each. */
const link = (point: string, sharedBy: unknown, more = {}) => ({
  ...{ point, connector: `${point} plug`, shared_by: sharedBy },
  ...more,
});
const pool = madePool({
  ...{ pool: "Kestrel Bay", model: "plain", lanes: ["A", "B", "C", "D"] },
  devices: ["touchpad", "button-1", "button-2"],
  supplies: [
    { name: "A", emf: 4.95, source_ohms: 0, lanes: ["A", "B"] },
    { name: "B", emf: 5, source_ohms: 0, lanes: ["C", "D"] },
  ],
  meters: [{ name: "deck", load_ohms: 1000, resolution: 0.01, off_after: [70, 95] }],
  chain: [
    link("timer", "pool", { wire_ohms: 2 }),
    link("trunk", [
      ["A", "B"],
      ["C", "D"],
    ]),
    link("harness", "lane", { wire_ohms: 0.1, wet: true }),
  ],
});

// The work stands between the walks, the second of which did not read that contact.

test("a work after which nobody read the contact ends before the next walk all the same", () => {
  const { readings } = readReadings(
    "taken_at,lane,device,point,volts\n2026-04-01,B,button-2,trunk,4.36\n2026-04-08,C,button-1,harness,4.98\n",
    pool,
    "readings.csv",
  );
  const { entries } = readWorkLog(
    "done_at,lane,point,action\n2026-04-05T10:00,B,harness,reseated\n",
    pool,
    "work.csv",
  );
  expect(entries).toHaveLength(1);
  expect(readings).toHaveLength(2);
  const trend = followSeason(pool, readings, entries)?.trend;
  expect(trend?.contacts.length).toBeGreaterThan(0);
  for (const { growth, grows } of trend!.contacts) {
    expect(grows >= 0 && grows <= 1).toBe(true);
    expect(Number.isFinite(growth.median)).toBe(true);
  }
});
