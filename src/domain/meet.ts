import type { DegreeUnit } from "./pad.ts";

/** What a facility decides about its deck day; every field has the default of `meetDefaults`. */
export interface MeetSettings {
  /** Time on deck [s]. */
  readonly seconds: {
    readonly reading: number;
    readonly laneWalk: number;
    readonly plateOpening: number;
  };
  /** Points at which a cover must be opened before the meter can be put on. */
  readonly openedPoints: readonly string[];
  readonly touch: {
    /** Shapes of the beta prior of a rate of missed or false touches; 0.5 and 0.5 is Jeffreys'. */
    readonly prior: readonly [a: number, b: number];
    /** A pad is proven when its rate of missed touches is at or under this ... */
    readonly toleratedMissed: number;
    /** ... with at least this probability. */
    readonly confidence: number;
    /** P(the pad itself or its plug is bad) before anybody pressed it. */
    readonly padAtFault: number;
  };
  readonly pads: {
    /** The unit in which the facility thinks and in which `readjustDegrees` counts. */
    readonly unit: DegreeUnit;
    /** Change of water temperature at which pads are due (common practice: 3 degrees). */
    readonly readjustDegrees: number;
    /** Time in the water before a pad is adjusted (common practice: 10 minutes) [min]. */
    readonly soakMinutes: number;
    /** Height of the facility above the sea, as a map gives it: geometric [m]. */
    readonly altitudeMetres: number;
    /** Air that a pad holds, and air that one stroke of the pump takes [L]; null: not known. */
    readonly pump: { readonly padLitres: number; readonly strokeLitres: number } | null;
  };
  /** A walk older than this says too little about today [days]. */
  readonly walkDays: number;
  /** Two people lift a pad, look at it and its plug, and put it back [min]. */
  readonly padMinutes: number;
  /** One press and a look at the timer [s]. */
  readonly pressSeconds: number;
  /** Chance that the bag should be enough. */
  readonly bagConfidence: number;
}

export const meetDefaults: MeetSettings = {
  seconds: { reading: 8, laneWalk: 6, plateOpening: 15 },
  openedPoints: ["plate"],
  touch: { prior: [0.5, 0.5], toleratedMissed: 0.1, confidence: 0.9, padAtFault: 0.05 },
  pads: { unit: "C", readjustDegrees: 3, soakMinutes: 10, altitudeMetres: 0, pump: null },
  walkDays: 7,
  padMinutes: 10,
  pressSeconds: 5,
  bagConfidence: 0.95,
};
