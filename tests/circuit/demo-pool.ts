import type { Meter } from "../../src/domain/pool.ts";
import { ohms, volts } from "../../src/domain/units.ts";
import { type PlainLink, poolFrom, usualContacts } from "../plain-pool.ts";

const link = (
  point: string,
  connector: string,
  sharedBy: PlainLink["sharedBy"],
  wire: number,
): PlainLink => ({
  point,
  connector,
  sharedBy,
  wireOhms: ohms(wire),
  contaminated: 0.05,
  fouled: 0.02,
  fouledIfContaminated: 0.7,
});

/** The deck meter of the default pool. */
export const deckMeter: Meter = {
  name: "deck",
  loadOhms: ohms(1000),
  resolution: volts(0.01),
  noise: volts(0.02),
  offAfter: [70, 95],
};

/** A pool with the default chain: 3 Ω of copper, four contacts of 0.2 Ω while they are sound. */
export const demoPool = poolFrom({
  name: "Kestrel Bay",
  lanes: [1, 2],
  devices: ["touchpad"],
  supply: { emf: volts(5), emfSd: volts(0.05), sourceOhms: ohms(0) },
  meters: [deckMeter],
  chain: [
    link("timer", "timer outlet", "pool", 0.1),
    link("harness", "harness connector", "lane", 0.6),
    link("plate", "plate connector", "lane", 2.0),
    link("pod", "pod terminals", "device", 0.3),
  ],
  ...usualContacts,
});
