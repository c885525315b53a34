import { z } from "zod";
import { assumed, assumedFouled, assumedLinks, plainFigures } from "../../domain/assumed.ts";
import { above0, closed, figure, listOf, name, numberIn, wholeIn } from "../schema-words.ts";
import { device, link, namedSupply, supply } from "./circuits-schema.ts";
import { costsSchema } from "./costs-schema.ts";
import { lanesSchema } from "./lanes-schema.ts";
import { meetSchema } from "./meet-schema.ts";
import { modelSchema } from "./model-schema.ts";

/**
 * The pool file as people write it, key for key, with every default.
 *
 * Names here are the file's (snake_case). Rules that span several keys (no point twice, the low
 * threshold under the high one) are `pool-rules.ts`. A further section of the file is a schema of
 * its own, `<section>-schema.ts`, and one line in `poolSchema` below. Keys marked deprecated are the
 * first version's: they still read, and no new file has them.
 */

const loadAllowed = "ohms above 0, at most 1e9, or the word unknown";
const secondsAllowed = "seconds from 0 to 86400";

const meter = closed({
  name: name("a meter's name").describe("What the sheet calls this meter."),
  load_ohms: z
    .union([above0(1e9, loadAllowed), z.literal("unknown")], { error: loadAllowed })
    .default("unknown")
    .describe("Resistance that the meter puts across the path [ohm], or unknown."),
  resolution: above0(1, "volts above 0, at most 1")
    .optional()
    .describe("Display step [V]; left out, the finest step that occurs in the readings."),
  noise: figure(assumed.noise, "above"),
  off_after: z
    .tuple([numberIn(0, 86400, secondsAllowed), numberIn(0, 86400, secondsAllowed)], {
      error: "two numbers of seconds, the earlier first",
    })
    .optional()
    .describe(
      "The meter switches itself off this long after it was switched on [s]; unknown if left out.",
    ),
});

const medianAllowed = "ohms above 0, at most 1e9";
const logSdAllowed = "a number above 0, at most 5";
const sound = closed({
  median_ohms: figure(assumed.soundMedian, "above"),
  log_sd: figure(assumed.soundLogSd, "above"),
});

const median = above0(1e9, medianAllowed).describe("Half of such contacts have less [ohm].");
const spread = above0(5, logSdAllowed).describe("Standard deviation of ln ohms.");
const single = closed({
  median_ohms: median.default(plainFigures.fouled.medianOhms),
  log_sd: spread.default(plainFigures.fouled.logSd),
});
const part = closed({
  share: above0(1, "a share above 0, at most 1").describe("Share of fouled contacts."),
  median_ohms: median,
  log_sd: spread,
});
const fouledAllowed = "a list of parts, each with share, median_ohms and log_sd";
const fouled = z.union([single, listOf(part, 1, 6, fouledAllowed)], {
  error: fouledAllowed,
});

const contact = closed({
  sound: sound.prefault({}).describe("Log-normal resistance of a sound contact."),
  fouled: fouled
    .prefault(
      assumedFouled.map(({ share, medianOhms, logSd }) => ({
        share,
        median_ohms: medianOhms,
        log_sd: logSd,
      })),
    )
    .describe("Resistance of a fouled contact: a mixture of log-normals."),
});

const limit = closed({
  volts: above0(60, "volts above 0, at most 60")
    .optional()
    .describe(
      `Least volts at the last point [V]; ${assumed.limitVolts.value} if nothing is given.`,
    ),
  meter: name("a meter's name")
    .optional()
    .describe("The meter that the volts are meant for; the first if left out."),
  ohms: above0(1e9, "ohms above 0, at most 1e9")
    .optional()
    .describe("Most ohms of the whole path, in place of volts [ohm]."),
});

const timerInput = closed({ low_max: figure(assumed.lowMax), high_min: figure(assumed.highMin) });

const laneNeeds = closed({
  first: name("a device's name").describe("The device that times the lane."),
  fall_back: listOf(name("a device's name"), 0, 20, "a list of device names")
    .default([])
    .describe("The devices that stand in for it."),
  at_least: wholeIn(1, 20, "how many of them must work, 1 to 20")
    .default(1)
    .describe("So many of all these must work."),
});

/** The meter that a pool file without `meters` has. */
const deckMeter = { name: "deck", resolution: 0.01 };

export const poolSchema = closed({
  pool: name("the facility's name").describe("The facility's name."),
  lanes: lanesSchema.describe('How many lanes, a list of them, or a range in quotes: "0-9".'),
  ends: listOf(name("an end's name"), 0, 9, "a list of the lanes' ends")
    .default([])
    .describe("The lanes' ends, where devices stand at both."),
  devices: listOf(device, 1, 60, "a list of 1 to 60 devices").describe(
    "The devices; a lane's first is the default of a sheet without a device column.",
  ),
  supply: supply.prefault({}).describe("The timer's supply."),
  supplies: listOf(namedSupply, 1, 20, "a list of 1 to 20 supplies")
    .optional()
    .describe("Several timers' supplies, in place of supply."),
  meters: listOf(meter, 1, 20, "a list of 1 to 20 meters")
    .prefault([deckMeter])
    .describe("The voltmeters; the first is the default of a sheet without a meter column."),
  chain: listOf(link, 1, 40, "a list of 1 to 40 links, in order from the timer out")
    .prefault(assumedLinks.map((one) => ({ ...one })))
    .describe("The links, in order from the timer out; each may be for some circuits only."),
  contact: contact.prefault({}).describe("What a contact's resistance is when sound or fouled."),
  model: modelSchema.prefault({}).describe("The model's terms, or plain: every term below off."),
  limit: limit
    .prefault({ volts: assumed.limitVolts.value })
    .describe("The facility's own limit of a whole path, in volts on one meter or in ohms."),
  misread: numberIn(0, 0.5, "a probability from 0 to 0.5")
    .optional()
    .meta({ deprecated: true, description: "The first version's place of model.misread." }),
  limit_volts: above0(60, "volts above 0, at most 60")
    .optional()
    .meta({ deprecated: true, description: "The first version's place of limit.volts." }),
  timer_input: timerInput.optional().describe("Thresholds of the timer's own input."),
  lane_needs: laneNeeds.optional().describe("What a lane needs to have its timing."),
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
