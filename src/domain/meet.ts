import { assumedMeet, assumedOpenedPoints, assumedTouchPrior } from "./assumed-meet.ts";
import type { DegreeUnit } from "./pad.ts";

/** What a facility decides about its deck day; every field has the default of `meetDefaults`. */
export interface MeetSettings {
  /** Time on deck [s]. */
  readonly seconds: {
    readonly reading: number;
    readonly laneWalk: number;
    readonly plateOpening: number;
    readonly moving: number;
  };
  /** Points at which a cover must be opened before the meter can be put on. */
  readonly openedPoints: readonly string[];
  /** Presses: what is taken for proof, rates and chances [P]. */
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
    /** Change of water temperature at which pads are due; null: nobody said. */
    readonly readjustDegrees: number | null;
    /** Time in the water before a pad is adjusted [min]; null: nobody said. */
    readonly soakMinutes: number | null;
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

/** What a pool's deck day is reckoned with. */
export const meetSettings = ({ meet }: { readonly meet?: MeetSettings }): MeetSettings =>
  meet ?? meetDefaults;

/** What a pool file without a `meet` section is reckoned with. */
export const meetDefaults: MeetSettings = {
  seconds: {
    reading: assumedMeet.reading.value,
    laneWalk: assumedMeet.laneWalk.value,
    plateOpening: assumedMeet.plateOpening.value,
    moving: assumedMeet.moving.value,
  },
  openedPoints: assumedOpenedPoints,
  touch: {
    prior: assumedTouchPrior,
    toleratedMissed: assumedMeet.toleratedMissed.value,
    confidence: assumedMeet.confidence.value,
    padAtFault: assumedMeet.padAtFault.value,
  },
  pads: {
    unit: "C",
    readjustDegrees: null,
    soakMinutes: null,
    altitudeMetres: assumedMeet.altitude.value,
    pump: null,
  },
  walkDays: assumedMeet.walkDays.value,
  padMinutes: assumedMeet.pad.value,
  pressSeconds: assumedMeet.press.value,
  bagConfidence: assumedMeet.bagConfidence.value,
};
