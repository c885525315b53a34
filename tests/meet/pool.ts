import type { ContactFinding, WalkDiagnosis } from "../../src/domain/findings.ts";
import { type CircuitName, circuitName, serves } from "../../src/domain/place.ts";
import type { Pool } from "../../src/domain/pool.ts";
import { ohms, volts } from "../../src/domain/units.ts";
import { emptyWalk, steady } from "../made-findings.ts";
import { poolFrom, usualContacts } from "../plain-pool.ts";

/** The pool file's defaults, for an invented facility. */
export const kestrelBay = poolFrom({
  name: "Kestrel Bay",
  lanes: [1, 2, 3, 4, 5, 6, 7, 8],
  devices: ["touchpad", "button-1", "button-2"],
  supply: { emf: volts(5), emfSd: volts(0.05), sourceOhms: ohms(0) },
  meters: [
    {
      name: "deck",
      loadOhms: ohms(1000),
      resolution: volts(0.01),
      noise: volts(0.02),
      offAfter: [70, 95],
    },
  ],
  chain: [
    {
      point: "timer",
      connector: "timer outlet",
      sharedBy: "pool",
      wireOhms: ohms(0.1),
      contaminated: 0.02,
      fouled: 0.01,
      fouledIfContaminated: 0.7,
    },
    {
      point: "harness",
      connector: "harness connector",
      sharedBy: "lane",
      wireOhms: ohms(0.6),
      contaminated: 0.04,
      fouled: 0.01,
      fouledIfContaminated: 0.7,
    },
    {
      point: "plate",
      connector: "plate connector",
      sharedBy: "lane",
      wireOhms: ohms(2),
      contaminated: 0.08,
      fouled: 0.02,
      fouledIfContaminated: 0.7,
    },
    {
      point: "pod",
      connector: "pod terminals",
      sharedBy: "device",
      wireOhms: ohms(0.3),
      contaminated: 0,
      fouled: 0.12,
      fouledIfContaminated: 0.7,
    },
  ],
  ...usualContacts,
});

/** A walk that read every circuit, all sound except where `bad` says P(sound). */
export function walkOf(
  pool: Pool,
  bad: (circuit: CircuitName, point: string) => number | undefined = () => undefined,
): WalkDiagnosis {
  const contacts = pool.circuits.flatMap((circuit) =>
    circuit.path.map(({ point }): ContactFinding => {
      const sound = bad(circuit, point) ?? 0.9999;
      return {
        ...circuitName(circuit),
        point,
        sound,
        fouled: 1 - sound,
        open: 0,
        ...steady,
        ohms: { median: 0.2, low: 0.1, high: 0.6 },
        voltsLost: 5 * (1 - sound) * 0.05,
      };
    }),
  );
  const connectors = pool.connectors.map((body) => {
    const mine = contacts.filter(
      (one) => one.point === body.point && serves(pool, body.place, one),
    );
    const worst = mine.reduce((a, b) => (b.sound < a.sound ? b : a));
    return {
      ...body.place,
      connector: body.name,
      atFault: 1 - mine.reduce((sound, c) => sound * c.sound, 1),
      voltsLost: worst.voltsLost,
      circuits: mine.map((c) => c.device),
      worst,
      fails: [],
      evidence: [],
      inseparableFrom: [],
      wouldSeparate: null,
    };
  });
  return {
    ...emptyWalk,
    walk: "2026-06-11",
    connectors: connectors.sort((a, b) => b.atFault - a.atFault),
    contacts,
    meters: [{ meter: "deck", detectionLimit: 5, blind: false }],
  };
}
