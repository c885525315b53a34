/**
 * What the study's pools do by themselves, and what everything costs: the generator's own law. It
 * shares no code with the model; where the two differ is what the worlds are about.
 */
export type WorldName = "matching" | "linear" | "steps";

/** A contact's nature: drawn once for every part. */
export interface Nature {
  readonly growth: "none" | "log" | "ohm";
  /** [ln ohm a week] or [ohm a week] */
  readonly rate: number;
  /** Cleaning does not help. */
  readonly oxide: boolean;
  /** Where it begins and where a cure brings it [ohm]. */
  readonly floor: number;
}

/** How a world draws and moves its contacts. */
export interface Law {
  readonly notGrowing: number;
  readonly growth: "log" | "ohm";
  readonly rate: { readonly median: number; readonly logSd: number };
  readonly oxide: number;
  readonly floor: { readonly median: number; readonly logSd: number };
  /** P(a cleaning cures film), P(it mends what is open or loose). */
  readonly cure: number;
  readonly mend: number;
  /** Each a week: fouls at a stroke, opens, comes loose, breaks for good. */
  readonly fouls: number;
  readonly opens: number;
  readonly loosens: number;
  readonly breaks: number;
  readonly fouled: { readonly median: number; readonly logSd: number };
  /** Storms a week for the whole pool, how likely each touches a contact, mean rise in ln ohm. */
  readonly storms: { readonly perWeek: number; readonly touches: number; readonly rise: number };
  /** Spread of ln ohm from one meet to the next. */
  readonly scatter: number;
}

const matching: Law = {
  notGrowing: 0.5,
  growth: "log",
  rate: { median: 0.11, logSd: 0.6 },
  oxide: 1 / 3,
  floor: { median: 0.2, logSd: 0.8 },
  cure: 0.95,
  mend: 0.2,
  fouls: 0.001,
  opens: 0.0002,
  loosens: 0.0002,
  breaks: 0.04 / 52,
  fouled: { median: 60, logSd: 1.2 },
  storms: { perWeek: 0, touches: 0, rise: 0 },
  scatter: 0.15,
};

export const laws: Readonly<Record<WorldName, Law>> = {
  matching,
  linear: { ...matching, growth: "ohm", rate: { median: 1, logSd: 0.8 } },
  steps: {
    ...matching,
    rate: { median: 0.05, logSd: 0.6 },
    storms: { perWeek: 0.04, touches: 0.4, rise: 1.5 },
  },
};

/** Prices and circumstances of the study's pools: the program's defaults, written out. */
export const deck = {
  labourPerHour: 40,
  parts: {
    plate: { part: 120, cleanMinutes: 12, replaceMinutes: 40 },
    pod: { part: 45, cleanMinutes: 8, replaceMinutes: 25 },
  },
  meetsPerWeek: 20 / 52,
  lostLane: 100,
  lossChance: 0.25,
  /** What comes and goes loses its lane in so many meets. */
  looseLoss: 0.3,
  discountRate: 0.03,
  emf: 5,
  emfSd: 0.05,
  loadOhms: 1000,
  noise: 0.02,
  misread: 0.003,
  /** Of the readings at or behind a loose contact. */
  badShare: 0.3,
  limitVolts: 4.8,
  wires: [2.7, 0.3],
  points: ["plate", "pod"],
} as const;

export type Point = (typeof deck.points)[number];

/** Series resistance at which the last point reads the limit [ohm]. */
export const limitOhms = deck.loadOhms * (deck.emf / deck.limitVolts - 1);
const wire = deck.wires.reduce((sum, each) => sum + each, 0);
/** What the contacts of a path may have together [ohm]. */
export const contactLimit = limitOhms - wire;

export const cleanPrice = (point: Point): number =>
  (deck.labourPerHour * deck.parts[point].cleanMinutes) / 60;
export const replacePrice = (point: Point): number =>
  deck.parts[point].part + (deck.labourPerHour * deck.parts[point].replaceMinutes) / 60;
