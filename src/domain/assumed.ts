import { type Assumed, type AssumedRange, assumedAs, chance, ranged } from "./assumed-figure.ts";
import type { ConnectorClass, ContactPriors } from "./circuit.ts";

/**
 * Every figure that stands where a facility has said nothing, once. The pool file's schema, its
 * comments, the help texts, the memo's sensitivities and the documents take key, unit, meaning,
 * value and range from here and from the files beside this one; nothing else in the program may
 * write one of them down.
 */

/** P(a contact is fouled) that a file may say: with P(open) and the rest it stays within 1. */
const MOST_FOULED = 0.9;

export const assumed = {
  emf: assumedAs("emf", "V", 5, [0, 60], "nominal EMF of the timer's supply"),
  emfSd: assumedAs("emf_sd", "V", 0.05, [0, 5], "standard deviation of the EMF, day to day"),
  noise: assumedAs("noise", "V", 0.02, [0, 1], "standard deviation of one reading before rounding"),
  soundMedian: assumedAs(
    "median_ohms",
    "ohm",
    0.2,
    [0, 1e9],
    "half of all sound contacts have less",
  ),
  soundLogSd: assumedAs("log_sd", "", 0.8, [0, 5], "standard deviation of ln ohms, sound"),
  limitVolts: assumedAs("volts", "V", 4.8, [0, 60], "least volts at the last point of a path"),
  lowMax: assumedAs(
    "low_max",
    "V",
    0.8,
    [0, 60],
    "a touch registers while the input is at or under this",
    "TTL input levels, common practice",
  ),
  highMin: assumedAs(
    "high_min",
    "V",
    2,
    [0, 60],
    "the line counts as at rest while the input is at or over this",
    "TTL input levels, common practice",
  ),
  misread: chance("misread", 0.003, "chance that a value was misread or mistyped", 0.5),
  tails: chance("tails", 0.05, "share of readings with three times the noise", 0.5),
  noiseLogSd: assumedAs(
    "noise_log_sd",
    "",
    0.3,
    [0, 2],
    "standard deviation of ln(a walk's noise / the meter's)",
  ),
  driftSd: assumedAs(
    "drift_sd",
    "V",
    0.02,
    [0, 1],
    "standard deviation of the supply's drift from a walk's first reading to its last",
  ),
  blank: chance(
    "blank",
    0.0025,
    "chance that a display that is on is off, and written down so, at the next reading (no times)",
    0.5,
  ),
  blankWritten: chance(
    "blank_written",
    0.1,
    "chance that a display that went off is written down so (with times)",
  ),
  blankStays: chance(
    "blank_stays",
    0.5,
    "chance that an off display that was written down is still off at the next reading",
  ),
  openPerFouled: assumedAs("open_per_fouled", "", 0.1, [0, 1], "P(open) for each P(fouled)"),
  cableBreak: chance("cable_break", 0.002, "P(a link's cable is broken)", 0.5),
  intermittent: chance("intermittent", 0.005, "P(a contact comes and goes)", 0.5),
  badShare: chance("bad_share", 0.3, "chance that such a contact is bad at one reading"),
  badShareMoved: chance("bad_share_moved", 0.7, "the same while its plug or cord is moved"),
  stuck: chance("stuck", 0.005, "P(a device is stuck closed)", 0.5),
  leaking: chance("leaking", 0.01, "P(a device leaks)", 0.5),
  wetLeak: chance("wet_leak", 0.003, "P(water leaks at one wet link of a circuit)", 0.5),
} as const satisfies Record<string, Assumed>;

/** The parts of a fouled contact's resistance: film, and what no meter sees current through. */
export const assumedFouled = [
  { share: 0.6, medianOhms: 60, logSd: 1.2 },
  { share: 0.4, medianOhms: 10_000, logSd: 3 },
] as const;

/** What stands for a figure in the first version's model (`model: plain`). */
export const plainFigures = {
  sourceOhms: 0,
  loadOhms: 1000,
  fouled: { medianOhms: 60, logSd: 1.2 },
  misread: 0.01,
  blank: 0.02,
} as const;

/** By class of connector: what is believed of one before any reading. All judgement. */
const classPriors: Readonly<Record<ConnectorClass, Omit<ContactPriors, "cableBreak">>> = {
  outlet: { contaminated: 0.02, fouled: 0.01, fouledIfContaminated: 0.7, intermittent: 0.005 },
  harness: { contaminated: 0.04, fouled: 0.01, fouledIfContaminated: 0.7, intermittent: 0.005 },
  plate: { contaminated: 0.08, fouled: 0.02, fouledIfContaminated: 0.7, intermittent: 0.005 },
  pod: { contaminated: 0, fouled: 0.12, fouledIfContaminated: 0.7, intermittent: 0.02 },
  "stacked plug": {
    contaminated: 0,
    fouled: 0.12,
    fouledIfContaminated: 0.7,
    intermittent: 0.02,
  },
};

/** What is believed of a connector of a class. */
export const assumedPriors = (of: ConnectorClass): ContactPriors => ({
  ...classPriors[of],
  cableBreak: assumed.cableBreak.value,
});

/** What a link's own figures mean, and what a file may say; their values go by class. */
export const linkFigures = {
  contaminated: chance("contaminated", 0, "P(its body is contaminated)"),
  fouled: chance("fouled", 0, "P(a contact is fouled, the body being clean)", MOST_FOULED),
  fouledIfContaminated: chance(
    "fouled_if_contaminated",
    0.7,
    "P(a contact is fouled, the body being contaminated)",
    MOST_FOULED,
  ),
  wireOhms: assumedAs("wire_ohms", "ohm", 0, [0, 1e5], "copper before the connector, out and back"),
} as const satisfies Record<string, Assumed>;

/** The path that a pool file without `chain` has, from the timer out. */
export const assumedLinks = [
  { point: "timer", connector: "timer outlet", class: "outlet", shared_by: "pool", wire_ohms: 0.1 },
  {
    point: "harness",
    connector: "harness connector",
    class: "harness",
    shared_by: "lane",
    wire_ohms: 0.6,
  },
  {
    point: "plate",
    connector: "plate connector",
    class: "plate",
    shared_by: "lane",
    wire_ohms: 2,
    wet: true,
  },
  {
    point: "pod",
    connector: "pod terminals",
    class: "pod",
    shared_by: "device",
    wire_ohms: 0.3,
    wet: true,
  },
] as const;

/** The figures of money and time, with the range that a sensitivity walks through. */
export const assumedCosts = {
  labourPerHour: ranged(
    assumedAs(
      "labour_per_hour",
      "currency/h",
      40,
      [0, 10_000],
      "labour, an hour of whoever cleans and replaces",
    ),
    20,
    90,
  ),
  discountRate: ranged(
    assumedAs("discount_rate", "per year", 0.03, [0, 0.5], "real discount rate"),
    0,
    0.08,
  ),
  horizonYears: ranged(
    assumedAs("horizon_years", "years", 10, [0.02, 30], "planning horizon"),
    5,
    15,
  ),
  meetsPerSeason: ranged(
    assumedAs("meets_per_season", "per year", 20, [0, 365], "meets that the pool is timed for"),
    8,
    40,
  ),
  lostLane: ranged(
    assumedAs(
      "lost_lane",
      "currency",
      100,
      [0, 1_000_000],
      "cost of a lane without its timing in one meet",
    ),
    25,
    400,
  ),
  lossChance: ranged(
    assumedAs(
      "loss_chance",
      "per meet",
      0.25,
      [0, 1],
      "chance that a path under the limit loses its lane in a meet",
    ),
    0.05,
    1,
  ),
  ownFailure: ranged(
    assumedAs(
      "own_failure",
      "per meet",
      0.02,
      [0, 1],
      "chance that a device fails by itself in a meet, its contacts being good",
    ),
    0.005,
    0.08,
  ),
  fallbackCost: ranged(
    assumedAs(
      "fallback_cost",
      "of lost_lane",
      0.1,
      [0, 1],
      "what a meet on the fall-back device costs, as a share of a lost lane",
    ),
    0,
    0.5,
  ),
} as const satisfies Record<string, AssumedRange>;

/** Minutes that a look for a break takes: less than a cleaning, for nothing is washed or dried. */
export const assumedLookMinutes = assumedAs(
  "look_minutes",
  "min",
  4,
  [0, 240],
  "a look for a break: pull it, see that pins are straight, tug each wire, push it home",
);

/** Weeks from one walk of readings to the next. */
export const assumedCheckWeeks = assumedAs(
  "check_weeks",
  "weeks",
  1,
  [1, 26],
  "weeks from one walk of readings to the next",
);
