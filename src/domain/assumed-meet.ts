import { assumedAs } from "./assumed-figure.ts";

const seconds = (key: string, value: number, meaning: string) =>
  assumedAs(key, "s", value, [0, 600], meaning);
const minutes = (key: string, value: number, meaning: string) =>
  assumedAs(key, "min", value, [0, 600], meaning);
const share = (key: string, value: number, meaning: string) =>
  assumedAs(key, "", value, [0.001, 0.999], meaning);

/** The figures of the deck day: times, proof of a pad, pads and water. */
export const assumedMeet = {
  reading: seconds("reading_seconds", 8, "one reading"),
  laneWalk: seconds("lane_walk_seconds", 6, "from one lane to the next"),
  plateOpening: seconds("plate_opening_seconds", 15, "opening a cover"),
  moving: seconds("moving_seconds", 10, "moving a plug, or taking it out and putting it back"),
  press: seconds("press_seconds", 5, "one press and a look at the timer"),
  toleratedMissed: share(
    "missed_tolerated",
    0.1,
    "a pad is proven when its rate of missed touches is at most this",
  ),
  confidence: share("confidence", 0.9, "... with at least this probability"),
  padAtFault: share("pad_at_fault", 0.05, "P(a pad or its plug is bad), before anybody pressed"),
  altitude: assumedAs(
    "altitude_metres",
    "m",
    0,
    [-500, 6000],
    "height of the facility above the sea, as a map gives it",
  ),
  walkDays: assumedAs(
    "walk_days",
    "days",
    7,
    [0, 365],
    "a walk older than this proves nothing for a meet",
  ),
  pad: minutes("pad_minutes", 10, "two people lift, check and put back a pad"),
  bagConfidence: share("bag_confidence", 0.95, "chance that the bag should be enough"),
} as const;

/** Shapes of the beta prior of a rate of missed or false touches (Jeffreys, 1946). */
export const assumedTouchPrior = [0.5, 0.5] as const;

/** Points at which a cover must be opened before the meter can be put on. */
export const assumedOpenedPoints = ["plate"] as const;
