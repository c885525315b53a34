import type { Lane } from "../../src/domain/place.ts";
import type { Meter } from "../../src/domain/pool.ts";
import type { Reading } from "../../src/domain/reading.ts";
import { ohms, volts } from "../../src/domain/units.ts";
import {
  type PlainLink as Link,
  type PlainPool,
  type TestPool as Pool,
  poolFrom,
  usualContacts,
} from "../plain-pool.ts";

/** One link of a chain, in the order of the model's table. */
export const link = (
  point: string,
  sharedBy: Link["sharedBy"],
  wire: number,
  contaminated: number,
  fouled: number,
): Link => ({
  point,
  connector: `${point} joint`,
  sharedBy,
  wireOhms: ohms(wire),
  contaminated,
  fouled,
  fouledIfContaminated: sharedBy === "device" ? 0 : 0.7,
});

/** The model's default chain, written out from its section 4 and the contract's example. */
export const defaultChain: readonly Link[] = [
  link("timer", "pool", 0.1, 0.02, 0.01),
  link("harness", "lane", 0.6, 0.04, 0.01),
  link("plate", "lane", 2.0, 0.08, 0.02),
  link("pod", "device", 0.3, 0, 0.12),
];

export const meter = (
  name: string,
  load: number,
  resolution: number | null,
  noise = 0.02,
): Meter => ({
  name,
  loadOhms: ohms(load),
  resolution: resolution === null ? null : volts(resolution),
  noise: volts(noise),
  offAfter: [45, 60],
});

/** A small pool with the model's defaults, some of them replaced. */
export const smallPool = (
  lanes: readonly Lane[],
  devices: readonly string[],
  changed: Partial<PlainPool> = {},
): Pool =>
  poolFrom({
    name: "reference",
    lanes,
    devices,
    supply: { emf: volts(5), emfSd: volts(0.05), sourceOhms: ohms(0) },
    meters: [meter("deck", 1000, 0.01)],
    chain: defaultChain,
    ...usualContacts,
    ...changed,
  });

/** What differs from a plain reading at rest, taken at no stated time. */
export type Shown = readonly [
  lane: Lane,
  device: string,
  point: string,
  shown: number,
  meter?: string,
];

/** Readings at rest in one walk, without times; `step` is the display step they are written with. */
export const sheet = (rows: readonly Shown[], step = 0.01): Reading[] =>
  rows.map(([lane, device, point, shown, name = "deck"], index) => ({
    lane,
    device,
    end: null,
    id: null,
    point,
    volts: volts(shown),
    step: volts(step),
    takenAt: null,
    walk: "reference",
    meter: name,
    meterOn: false,
    state: "rest",
    by: null,
    note: null,
    line: index + 2,
  }));
