import { z } from "zod";
import { costsSchema } from "./costs-schema.ts";
import { meetSchema } from "./meet-schema.ts";
import { above0, closed, listOf, name, numberIn, wholeIn } from "./schema-words.ts";

/**
 * The pool file as people write it, key for key, with every default.
 *
 * Names here are the file's (snake_case). Rules that span several keys (no point twice, the low
 * threshold under the high one) are `pool-rules.ts`. A further section of the file is a schema of
 * its own, `<section>-schema.ts`, and one line in `poolSchema` below.
 */

/** P(open) is a tenth of P(fouled), and the two together stay within 1. */
const mostFouled = 0.9;
const fouledChance = numberIn(0, mostFouled, `a probability from 0 to ${mostFouled}`);
const wireLength = "metres of cable, one way, from 0 to 10000";

const laneName = z.union(
  [
    wholeIn(0, 9999, "a whole number from 0 to 9999"),
    name("a word in quotes").describe("A lane that has a name in place of a number."),
  ],
  { error: "a lane: a whole number from 0 to 9999, or a word" },
);

const lanesAllowed = "how many lanes (1 to 99), or a list of them such as [1, 2, 3, 10]";
const lanes = z.union([wholeIn(1, 99, lanesAllowed), listOf(laneName, 1, 99, lanesAllowed)], {
  error: lanesAllowed,
});

const supply = closed({
  emf: above0(60, "volts above 0, at most 60")
    .default(5)
    .describe("Nominal EMF of the timer's supply [V]."),
  emf_sd: above0(5, "volts above 0, at most 5")
    .default(0.05)
    .describe("Standard deviation of the EMF from timer to timer and day to day [V]."),
  source_ohms: numberIn(0, 1e6, "ohms from 0 to 1000000")
    .default(0)
    .describe("Source resistance inside the timer [ohm]."),
});

const meter = closed({
  name: name("a meter's name").describe("What the sheet calls this meter."),
  load_ohms: z
    .union([above0(1e9, "ohms above 0, at most 1e9, or the word unknown"), z.literal("unknown")], {
      error: "ohms above 0, at most 1e9, or the word unknown",
    })
    .default(1000)
    .describe("Resistance that the meter puts across the path [ohm], or unknown."),
  resolution: above0(1, "volts above 0, at most 1")
    .optional()
    .describe("Display step [V]; left out, the finest step that occurs in the readings."),
  noise: above0(1, "volts above 0, at most 1")
    .default(0.02)
    .describe("Standard deviation of one reading before rounding [V]."),
  off_after: z
    .tuple([numberIn(0, 86400, "seconds from 0 to 86400"), numberIn(0, 86400, "seconds")], {
      error: "two numbers of seconds, such as [45, 60]",
    })
    .default([45, 60])
    .describe("The meter switches itself off this long after it was switched on [s]."),
});

const wire = closed({
  awg: wholeIn(0, 40, "a wire gauge (AWG), a whole number from 0 to 40"),
  metres: numberIn(0, 10000, wireLength).describe("Length of the cable, one way [m]."),
  conductors: wholeIn(1, 8, "conductors in series, 1 to 8; 2 is out and back").default(2),
  celsius: numberIn(-60, 120, "degrees Celsius from -60 to 120")
    .default(20)
    .describe("Temperature of the copper [degC]."),
});

const link = closed({
  point: name("a point's name").describe("Where the meter is put on, just after the connector."),
  connector: name("a connector's name").describe("What people call the connector."),
  shared_by: z
    .enum(["pool", "lane", "device"], { error: "one of pool, lane, device" })
    .describe("Who passes through it: every circuit, every circuit of a lane, or one device."),
  wire_ohms: numberIn(0, 1e5, "ohms from 0 to 100000")
    .optional()
    .describe("Copper of the segment before the connector, out and back [ohm]; 0 if left out."),
  wire: wire.optional().describe("The same copper by gauge and length, in place of wire_ohms."),
  contaminated: numberIn(0, 1, "a probability from 0 to 1")
    .default(0)
    .describe("P(its body is contaminated); has no meaning for shared_by: device."),
  fouled: fouledChance.describe("P(a contact is fouled, the body being clean)."),
  fouled_if_contaminated: fouledChance
    .default(0.7)
    .describe("P(a contact is fouled, the body being contaminated)."),
});

const lognormal = (medianOhms: number, logSd: number) =>
  closed({
    median_ohms: above0(1e9, "ohms above 0, at most 1e9")
      .default(medianOhms)
      .describe("Half of such contacts have less [ohm]."),
    log_sd: above0(5, "a number above 0, at most 5")
      .default(logSd)
      .describe("Spread: standard deviation of the natural logarithm of the ohms."),
  }).prefault({});

const contact = closed({
  sound: lognormal(0.2, 0.8).describe("Log-normal resistance of a sound contact."),
  fouled: lognormal(60, 1.2).describe("Log-normal resistance of a fouled contact."),
});

const timerInput = closed({
  low_max: numberIn(0, 60, "volts from 0 to 60")
    .default(0.8)
    .describe("A touch registers while the input is at or under this [V]."),
  high_min: numberIn(0, 60, "volts from 0 to 60")
    .default(2)
    .describe("The line counts as at rest while the input is at or over this [V]."),
});

/** The meter that a pool file without `meters` has. */
const deckMeter = { name: "deck", resolution: 0.01 };

/** The path that a pool file without `chain` has, from the timer out. */
const usualChain: z.input<typeof link>[] = [
  {
    point: "timer",
    connector: "timer outlet",
    shared_by: "pool",
    wire_ohms: 0.1,
    contaminated: 0.02,
    fouled: 0.01,
  },
  {
    point: "harness",
    connector: "harness connector",
    shared_by: "lane",
    wire_ohms: 0.6,
    contaminated: 0.04,
    fouled: 0.01,
  },
  {
    point: "plate",
    connector: "plate connector",
    shared_by: "lane",
    wire_ohms: 2,
    contaminated: 0.08,
    fouled: 0.02,
  },
  {
    point: "pod",
    connector: "pod terminals",
    shared_by: "device",
    wire_ohms: 0.3,
    fouled: 0.12,
  },
];

export const poolSchema = closed({
  pool: name("the facility's name").describe("The facility's name."),
  lanes: lanes.describe("How many lanes, or a list of them."),
  devices: listOf(name("a device's name"), 1, 20, "a list of 1 to 20 device names").describe(
    "The devices of a lane; the first is the default of a sheet without a device column.",
  ),
  supply: supply.prefault({}).describe("The timer's supply."),
  meters: listOf(meter, 1, 20, "a list of 1 to 20 meters")
    .prefault([deckMeter])
    .describe("The voltmeters; the first is the default of a sheet without a meter column."),
  chain: listOf(link, 1, 12, "a list of 1 to 12 connectors, in order from the timer out")
    .prefault(usualChain)
    .describe("The path, in order from the timer out."),
  contact: contact.prefault({}).describe("What a contact's resistance is when sound or fouled."),
  misread: numberIn(0, 0.5, "a probability from 0 to 0.5")
    .default(0.01)
    .describe("P(a value was misread or mistyped)."),
  limit_volts: above0(60, "volts above 0, at most 60")
    .default(4.8)
    .describe("The facility's own limit at the last point [V]."),
  timer_input: timerInput.optional().describe("Thresholds of the timer's own input."),
  costs: costsSchema.prefault({}).describe("What money and time are reckoned with."),
  meet: meetSchema.optional().describe("What the facility decides about its deck day."),
});

/** The pool file as parsed, every default filled in. */
export type PoolFile = z.output<typeof poolSchema>;

/** JSON Schema (draft 2020-12) of the pool file, for editors. */
export function poolJsonSchema(): Record<string, unknown> {
  const { $schema, ...rest } = z.toJSONSchema(poolSchema, { io: "input" });
  return { $schema, title: "Dropwise pool file", ...rest };
}
