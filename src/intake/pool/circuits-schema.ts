import { z } from "zod";
import { assumed, linkFigures } from "../../domain/assumed.ts";
import { closed, figure, listOf, name, numberIn, wholeIn } from "../schema-words.ts";
import { laneList } from "./lanes-schema.ts";

/** Devices, supplies and links: the rules that circuits are laid from. */

const deviceName = name("a device's name");
const allowedLanes = 'a list of lanes, a range such as "0-9", or the word none';

/** A device: its name alone (every lane, the first end), or where it exists. */
export const device = z.union(
  [
    deviceName,
    closed({
      name: deviceName.describe("What people call it."),
      lanes: z
        .union([z.literal("none"), laneList], { error: allowedLanes })
        .optional()
        .describe("The lanes that have it, or none: one circuit of the facility; all if left out."),
      end: name("one of the pool's ends").optional().describe("Its end; the first if left out."),
      stacked_on: deviceName.optional().describe("The device whose plug it is plugged into."),
      supply: name("a supply's name")
        .optional()
        .describe("Its supply, where there are several and it belongs to no lane."),
    }),
  ],
  { error: "a device's name, or a mapping with the keys name, lanes, end, stacked_on, supply" },
);

const supplyFigures = {
  emf: figure(assumed.emf, "above"),
  emf_sd: figure(assumed.emfSd, "above"),
  source_ohms: z
    .union(
      [numberIn(0, 1e6, "ohms from 0 to 1000000, or the word unknown"), z.literal("unknown")],
      { error: "ohms from 0 to 1000000, or the word unknown" },
    )
    .default("unknown")
    .describe("Source resistance inside the timer [ohm], or unknown."),
};

export const supply = closed(supplyFigures);
export const namedSupply = closed({
  name: name("a supply's name"),
  ...supplyFigures,
  lanes: laneList.optional().describe("The lanes that it feeds."),
});

const wire = closed({
  awg: wholeIn(0, 40, "a wire gauge (AWG), a whole number from 0 to 40"),
  metres: numberIn(0, 10000, "metres of cable, one way, from 0 to 10000").describe(
    "Length of the cable, one way [m].",
  ),
  conductors: wholeIn(1, 8, "conductors in series, 1 to 8; 2 is out and back").default(2),
  celsius: numberIn(-60, 120, "degrees Celsius from -60 to 120")
    .default(20)
    .describe("Temperature of the copper [degC]."),
});

const selection = closed({
  lanes: laneList.optional(),
  devices: listOf(deviceName, 1, 20, "a list of device names").optional(),
  ends: listOf(name("one of the pool's ends"), 1, 9, "a list of the pool's ends").optional(),
});

const sharedAllowed =
  "one of pool, lane, device, or a list of lists of lanes such as [[1, 2], [3, 4]]";
const byClass = { default: false, suffix: "; its class's figure if left out" } as const;

export const link = closed({
  point: name("a point's name").describe("Where the meter is put on, just after the connector."),
  connector: name("a connector's name").describe("What people call the connector."),
  shared_by: z
    .union(
      [
        z.enum(["pool", "lane", "device"], { error: sharedAllowed }),
        listOf(laneList, 1, 99, sharedAllowed),
      ],
      { error: sharedAllowed },
    )
    .describe(
      "Who passes through it: every circuit, every circuit of a lane, one device, or groups of lanes.",
    ),
  class: z
    .enum(["outlet", "harness", "plate", "pod"], {
      error: "one of outlet, harness, plate, pod",
    })
    .optional()
    .describe("outlet, harness, plate or pod: gives what the keys below leave out."),
  wire_ohms: figure(linkFigures.wireOhms, { default: false, suffix: "; 0 if left out" }),
  wire: wire.optional().describe("The same copper by gauge and length, in place of wire_ohms."),
  contaminated: figure(linkFigures.contaminated, byClass),
  fouled: figure(linkFigures.fouled, byClass),
  fouled_if_contaminated: figure(linkFigures.fouledIfContaminated, byClass),
  intermittent: figure(assumed.intermittent, byClass),
  cable_break: figure(assumed.cableBreak, {
    default: false,
    suffix: "; model.cable_break if left out",
  }),
  wet: z.boolean({ error: "true or false" }).optional().describe("Water may lie across it."),
  only: selection.optional().describe("Only these lanes, devices, ends pass it."),
  except: selection.optional().describe("These do not."),
});

/** A link as parsed. */
export type LinkFile = z.output<typeof link>;
/** A device as parsed. */
export type DeviceFile = z.output<typeof device>;
