import { z } from "zod";
import { type MeetSettings, meetDefaults } from "../../domain/meet.ts";
import { above0, closed, listOf, name, numberIn, wholeIn } from "../schema-words.ts";

const seconds = (what: string, standard: number) =>
  numberIn(0, 600, "seconds from 0 to 600").default(standard).describe(`${what} [s].`);
const minutes = (what: string, standard: number) =>
  numberIn(0, 600, "minutes from 0 to 600").default(standard).describe(`${what} [min].`);
const share = (what: string, standard: number) =>
  numberIn(0.001, 0.999, "a probability from 0.001 to 0.999").default(standard).describe(what);
const shape = above0(1e4, "a number above 0, at most 10000");

const { touch, pads } = meetDefaults;

/** The pool file's `meet` section: what a facility decides about its deck day. */
export const meetSchema = closed({
  reading_seconds: seconds("One reading", meetDefaults.seconds.reading),
  lane_walk_seconds: seconds("From one lane to the next", meetDefaults.seconds.laneWalk),
  plate_opening_seconds: seconds("Opening a cover", meetDefaults.seconds.plateOpening),
  opened_points: listOf(name("a point's name"), 0, 12, "a list of points of the chain")
    .default([...meetDefaults.openedPoints])
    .describe("Points at which a cover must be opened before the meter can be put on."),
  press_seconds: seconds("One press and a look at the timer", meetDefaults.pressSeconds),
  touch_prior: z
    .tuple([shape, shape], { error: "two numbers above 0, such as [0.5, 0.5]" })
    .default([...touch.prior])
    .describe("Beta prior of a rate of missed or false touches; [0.5, 0.5] is Jeffreys'."),
  missed_tolerated: share(
    "A pad is proven when its rate of missed touches is at most this.",
    touch.toleratedMissed,
  ),
  confidence: share("... with at least this probability.", touch.confidence),
  pad_at_fault: share("P(a pad or its plug is bad), before anybody pressed.", touch.padAtFault),
  temperature_unit: z
    .enum(["C", "F"], { error: "C or F, the degrees in which the facility works" })
    .default(pads.unit)
    .describe("The degrees in which the facility works; readjust_degrees counts in them."),
  readjust_degrees: above0(50, "degrees above 0, at most 50")
    .default(pads.readjustDegrees)
    .describe("Pads are due when the water has changed by this much."),
  soak_minutes: minutes("A pad lies in the water before it is adjusted", pads.soakMinutes),
  altitude_metres: numberIn(-500, 6000, "metres from -500 to 6000")
    .default(pads.altitudeMetres)
    .describe("Height of the facility above the sea, as a map gives it [m]."),
  pump: closed({
    pad_litres: above0(1000, "litres above 0, at most 1000"),
    stroke_litres: above0(100, "litres above 0, at most 100"),
  })
    .optional()
    .describe("Air in a pad, and air that one stroke of the pump takes [L]."),
  walk_days: wholeIn(0, 365, "whole days from 0 to 365")
    .default(meetDefaults.walkDays)
    .describe("A walk older than this proves nothing for a meet [days]."),
  pad_minutes: minutes("Two people lift, check and put back a pad", meetDefaults.padMinutes),
  bag_confidence: share("Chance that the bag should be enough.", meetDefaults.bagConfidence),
});

/** The section as the program's own words. */
export const toMeetSettings = (section: z.output<typeof meetSchema>): MeetSettings => ({
  seconds: {
    reading: section.reading_seconds,
    laneWalk: section.lane_walk_seconds,
    plateOpening: section.plate_opening_seconds,
  },
  openedPoints: section.opened_points,
  touch: {
    prior: section.touch_prior,
    toleratedMissed: section.missed_tolerated,
    confidence: section.confidence,
    padAtFault: section.pad_at_fault,
  },
  pads: {
    unit: section.temperature_unit,
    readjustDegrees: section.readjust_degrees,
    soakMinutes: section.soak_minutes,
    altitudeMetres: section.altitude_metres,
    pump:
      section.pump === undefined
        ? null
        : { padLitres: section.pump.pad_litres, strokeLitres: section.pump.stroke_litres },
  },
  walkDays: section.walk_days,
  padMinutes: section.pad_minutes,
  pressSeconds: section.press_seconds,
  bagConfidence: section.bag_confidence,
});
