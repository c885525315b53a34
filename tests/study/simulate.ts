import type { Lane } from "../../src/domain/place.ts";
import { filmPart } from "../../src/domain/pool.ts";
import type { Reading } from "../../src/domain/reading.ts";
import { volts } from "../../src/domain/units.ts";
import type {
  PlainCircuit as Circuit,
  PlainLink as Link,
  TestPool as Pool,
} from "../plain-pool.ts";
import type { Random } from "./random.ts";

/** What is really the matter with one contact. */
export interface TrueContact extends Circuit {
  readonly lane: Lane;
  readonly link: Link;
  readonly state: "sound" | "fouled" | "open";
  /** Infinite where open [ohm]. */
  readonly ohms: number;
}

/** A walk drawn from the model, with what nobody on the deck knows. */
export interface SimulatedWalk {
  readonly readings: readonly Reading[];
  readonly emf: number;
  readonly contacts: readonly TrueContact[];
}

export interface Circumstances {
  /** P(a point was not read). */
  readonly missing: number;
  /** P(the meter had switched itself off, and its blank was written down as 0). */
  readonly meterOff: number;
  /** Nothing is the matter with any contact. */
  readonly allSound: boolean;
}

const drawContacts = (pool: Pool, random: Random, allSound: boolean): TrueContact[] => {
  const bodies = new Map<string, boolean>();
  const contaminated = (link: Link, lane: Lane): boolean => {
    if (link.sharedBy === "device") return false;
    const body = link.sharedBy === "pool" ? link.point : `${link.point} ${lane}`;
    if (!bodies.has(body)) bodies.set(body, random.chance(link.contaminated));
    return bodies.get(body) ?? false;
  };
  const drawContact = (link: Link, lane: Lane, device: string): TrueContact => {
    const fouled = contaminated(link, lane) ? link.fouledIfContaminated : link.fouled;
    const u = allSound ? 1 : random.uniform();
    const state = u < fouled ? "fouled" : u < 1.1 * fouled ? "open" : "sound";
    const { medianOhms, logSd } = state === "fouled" ? filmPart(pool.contact) : pool.contact.sound;
    const drawn = medianOhms * Math.exp(logSd * random.normal());
    return { lane, device, link, state, ohms: state === "open" ? Number.POSITIVE_INFINITY : drawn };
  };
  return pool.lanes.flatMap((lane) =>
    pool.devices.flatMap((device) => pool.chain.map((link) => drawContact(link, lane, device))),
  );
};

/** What the meter shows for a true voltage: noise, rounding, and now and then a wrong value. */
const shownVolts = (pool: Pool, random: Random, step: number, trueVolts: number): number => {
  const meter = pool.meters[0]!;
  const steps = random.chance(pool.misread)
    ? Math.floor((random.uniform() * 1.1 * pool.supply.emf) / step)
    : Math.round((trueVolts + meter.noise * random.normal()) / step);
  return Number((Math.max(0, steps) * step).toFixed(6));
};

/** A pool as it really is on one day: what readings are drawn from. */
export interface DrawnPool {
  readonly emf: number;
  readonly contacts: readonly TrueContact[];
}

export const drawPool = (pool: Pool, random: Random, allSound = false): DrawnPool => {
  const emf = pool.supply.emf + pool.supply.emfSd * random.normal();
  return { emf, contacts: drawContacts(pool, random, allSound) };
};

/** The reading at one point that the meter would show now: asked again, its noise is drawn anew. */
export const takeReading = (
  pool: Pool,
  random: Random,
  { emf, contacts }: DrawnPool,
  { lane, device, point }: Circuit & { readonly point: string },
  index: number,
): Reading => {
  const load = pool.meters[0]!.loadOhms ?? 1;
  const circuit = contacts.filter((one) => one.lane === lane && one.device === device);
  const upTo = circuit.findIndex(({ link }) => link.point === point);
  const series = circuit
    .slice(0, upTo + 1)
    .reduce((sum, { link, ohms }) => sum + link.wireOhms + ohms, pool.supply.sourceOhms as number);
  const step = pool.meters[0]!.resolution ?? 0.01;
  const shown = shownVolts(pool, random, step, (emf * load) / (load + series));
  return restingReading(pool, lane, device, point, shown, step, index);
};

const restingReading = (
  pool: Pool,
  lane: Lane | null,
  device: string,
  point: string,
  shown: number,
  step: number,
  index: number,
): Reading => ({
  lane,
  device,
  end: null,
  id: null,
  point,
  volts: volts(shown),
  step: volts(step),
  takenAt: null,
  walk: "simulated",
  meter: pool.meters[0]!.name,
  meterOn: false,
  state: "rest",
  by: null,
  note: null,
  line: index + 2,
});

/**
 * Draws one walk from the model (sections 1 to 4) with the pool's first meter: body states, contact
 * states, resistances, one EMF, and a reading at rest of every point that was not skipped.
 */
export const simulateWalk = (
  pool: Pool,
  random: Random,
  { missing, meterOff, allSound }: Circumstances,
): SimulatedWalk => {
  const meter = pool.meters[0]!;
  const load = meter.loadOhms ?? 1;
  const step = meter.resolution ?? 0.01;
  const { emf, contacts } = drawPool(pool, random, allSound);
  const readings: Reading[] = [];
  let series = 0;
  for (const [index, { lane, device, link, ohms }] of contacts.entries()) {
    if (index % pool.chain.length === 0) series = pool.supply.sourceOhms;
    series += link.wireOhms + ohms;
    const shown = shownVolts(pool, random, step, (emf * load) / (load + series));
    const off = random.chance(meterOff);
    if (random.chance(missing)) continue;
    const seen = off ? 0 : shown;
    readings.push(restingReading(pool, lane, device, link.point, seen, step, index));
  }
  return { readings, emf, contacts };
};
