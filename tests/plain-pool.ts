import type { ConnectorClass } from "../src/domain/circuit.ts";
import { layCircuits } from "../src/domain/lay-circuits.ts";
import type { Lane, Place } from "../src/domain/place.ts";
import type { LogNormal, Meter, MixturePart, Pool } from "../src/domain/pool.ts";
import { type Ohms, ohms, type Volts, volts } from "../src/domain/units.ts";

/** One link of a chain that every circuit passes. */
export interface PlainLink {
  readonly point: string;
  readonly connector: string;
  readonly sharedBy: "pool" | "lane" | "device";
  readonly wireOhms: Ohms;
  readonly contaminated: number;
  readonly fouled: number;
  readonly fouledIfContaminated: number;
}

/** A pool of lanes times devices on one chain, with the first model's terms: short to write. */
export interface PlainPool extends Pick<Pool, "name" | "timerInput" | "costs" | "meet"> {
  readonly lanes: readonly Lane[];
  readonly devices: readonly string[];
  readonly supply: { readonly emf: Volts; readonly emfSd: Volts; readonly sourceOhms: Ohms };
  readonly meters: readonly Meter[];
  readonly chain: readonly PlainLink[];
  readonly contact: {
    readonly sound: LogNormal;
    readonly fouled: LogNormal | readonly MixturePart[];
  };
  readonly misread: number;
  readonly limitVolts: Volts;
}

const classOf = (link: PlainLink, at: number): ConnectorClass => {
  if (link.sharedBy === "device") return "pod";
  return at === 0 ? "outlet" : link.point === "plate" ? "plate" : "harness";
};

/** A facility with the first model's own words for it beside: for code of the tests that knows it. */
export type TestPool = Pool & Pick<PlainPool, "supply" | "chain" | "misread" | "limitVolts">;

/** Contacts, slips and limit of the tests' pools where a test is about something else. */
export const usualContacts = {
  contact: {
    sound: { medianOhms: ohms(0.2), logSd: 0.8 },
    fouled: { medianOhms: ohms(60), logSd: 1.2 },
  },
  misread: 0.01,
  limitVolts: volts(4.8),
  timerInput: null,
} as const;

/** The place of a connector of a pool whose circuits are lanes times devices. */
export const placeOf = (
  point: string,
  lane: Lane | null = null,
  device: string | null = null,
): Place => ({
  point,
  lane,
  device,
  end: null,
  lanes: lane === null ? [] : [lane],
  sharing: device !== null ? "device" : lane !== null ? "lane" : "pool",
});

/** A circuit of a lane. */
export interface PlainCircuit {
  readonly lane: Lane | null;
  readonly device: string;
}

/** The facility that it is; a pool that was made here may be given again, changed. */
export function poolFrom(given: PlainPool): TestPool {
  const { supply, chain, contact, misread, limitVolts, ...plain } = given;
  const links = chain.map((link, at) => ({
    point: link.point,
    connector: link.connector,
    class: classOf(link, at),
    sharedBy: link.sharedBy,
    wireOhms: link.wireOhms,
    priors: {
      contaminated: link.sharedBy === "device" ? 0 : link.contaminated,
      fouled: link.fouled,
      fouledIfContaminated: link.fouledIfContaminated,
      intermittent: 0,
      cableBreak: 0,
    },
    wet: false,
  }));
  const supplies = [{ name: "timer", ...supply }];
  const rule = { end: null, stackedOn: null, supply: null };
  const { clashes, ...laid } = layCircuits({
    lanes: plain.lanes,
    ends: [],
    devices: plain.devices.map((name) => ({ name, lanes: plain.lanes, ...rule })),
    supplies: supplies.map((one) => ({ ...one, lanes: null })),
    links: links.map((link) => ({ ...link, groups: [], only: null, except: null })),
  });
  if (clashes.length > 0) throw new Error(JSON.stringify(clashes));
  return {
    ...plain,
    ...laid,
    ends: [],
    supplies,
    links,
    contact: { sound: contact.sound, fouled: mixture(contact.fouled) },
    ...{ supply, chain, misread, limitVolts },
    model: plainModel(misread),
    limit: { volts: limitVolts, meter: plain.meters[0]!.name },
    laneNeeds: null,
  };
}

const mixture = (fouled: LogNormal | readonly MixturePart[]): readonly MixturePart[] =>
  "medianOhms" in fouled ? [{ share: 1, ...fouled }] : fouled;

/** Every term of the second model off. */
const plainModel = (misread: number): Pool["model"] => ({
  plain: true,
  misread,
  tails: 0,
  noiseLogSd: 0,
  driftSd: 0,
  blank: 0.02,
  blankWritten: 1,
  blankStays: 0,
  openPerFouled: 0.1,
  badShare: 0.3,
  badShareMoved: 0.7,
  stuck: 0,
  leaking: 0,
  wetLeak: 0,
});
