import { z } from "zod";
import { assumedMeet, assumedOpenedPoints, assumedTouchPrior } from "../../domain/assumed-meet.ts";
import { type MeetSettings, meetDefaults } from "../../domain/meet.ts";
import { above0, closed, figure, listOf, name, numberIn, wholeFigure } from "../schema-words.ts";

const shape = above0(1e4, "a number above 0, at most 10000");

/** The pool file's `meet` section: what a facility decides about its deck day. */
export const meetSchema = closed({
  reading_seconds: figure(assumedMeet.reading),
  lane_walk_seconds: figure(assumedMeet.laneWalk),
  plate_opening_seconds: figure(assumedMeet.plateOpening),
  moving_seconds: figure(assumedMeet.moving),
  opened_points: listOf(name("a point's name"), 0, 12, "a list of points of the chain")
    .default([...assumedOpenedPoints])
    .describe("Points at which a cover must be opened before the meter can be put on."),
  press_seconds: figure(assumedMeet.press),
  touch_prior: z
    .tuple([shape, shape], { error: "two numbers above 0, such as [0.5, 0.5]" })
    .default([...assumedTouchPrior])
    .describe("Beta prior of a rate of missed or false touches; [0.5, 0.5] is Jeffreys'."),
  missed_tolerated: figure(assumedMeet.toleratedMissed),
  confidence: figure(assumedMeet.confidence),
  pad_at_fault: figure(assumedMeet.padAtFault),
  temperature_unit: z
    .enum(["C", "F"], { error: "C or F, the degrees in which the facility works" })
    .default(meetDefaults.pads.unit)
    .describe("The degrees in which the facility works; readjust_degrees counts in them."),
  readjust_degrees: above0(50, "degrees above 0, at most 50")
    .optional()
    .describe("Pads are due when the water has changed by this much: as their maker says."),
  soak_minutes: numberIn(0, 600, "minutes from 0 to 600")
    .optional()
    .describe("A pad lies in the water so long before it is adjusted [min]: as its maker says."),
  altitude_metres: figure(assumedMeet.altitude),
  pump: closed({
    pad_litres: above0(1000, "litres above 0, at most 1000"),
    stroke_litres: above0(100, "litres above 0, at most 100"),
  })
    .optional()
    .describe("Air in a pad, and air that one stroke of the pump takes [L]."),
  walk_days: wholeFigure(assumedMeet.walkDays),
  pad_minutes: figure(assumedMeet.pad),
  bag_confidence: figure(assumedMeet.bagConfidence),
});

/** The section as the program's own words. */
export const toMeetSettings = (section: z.output<typeof meetSchema>): MeetSettings => ({
  seconds: {
    reading: section.reading_seconds,
    laneWalk: section.lane_walk_seconds,
    plateOpening: section.plate_opening_seconds,
    moving: section.moving_seconds,
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
    readjustDegrees: section.readjust_degrees ?? null,
    soakMinutes: section.soak_minutes ?? null,
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
