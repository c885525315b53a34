import type { ChainLink, Sharing } from "./pool.ts";

/** A figure that nobody knows exactly: what is reckoned with, and the range that it may lie in. */
export interface Figure {
  readonly value: number;
  readonly low: number;
  readonly high: number;
}

/** What one connector of a kind costs to keep. Money is in the pool's own currency. */
export interface ConnectorCosts {
  /** Price of a new connector, both halves [currency]. */
  readonly part: number;
  /** Labour to open, clean, dry and close it [min]. */
  readonly cleanMinutes: number;
  /** Labour to take the old one out and fit the new one [min]. */
  readonly replaceMinutes: number;
  /** Weibull scale of its service life: 63 % have broken down by this age [years]. */
  readonly lifeYears: number;
  /** Weibull shape of its service life: 1 breaks down at any age alike, above 1 wears out. */
  readonly lifeShape: number;
  /** Age of what is installed now, where the work log shows no replacement [years]. */
  readonly ageYears: number;
}

/** What money and time are reckoned with, every default filled in. */
export interface Costs {
  /** ISO 4217 code of the user's choice; `XXX`, that standard's "no currency", prints no code. */
  readonly currency: string;
  /** Labour [currency per hour]. */
  readonly labourPerHour: Figure;
  /** Real discount rate, inflation taken out [per year]. */
  readonly discountRate: Figure;
  /** Planning horizon [years]. */
  readonly horizonYears: Figure;
  /** Meets that the pool is timed for [per year]. */
  readonly meetsPerSeason: Figure;
  /** Lanes that a meet swims in; null: all of the pool's. */
  readonly lanesAtRisk: number | null;
  /** What one lane without its timing costs in one meet [currency]. */
  readonly lostLane: Figure;
  /** P(a path that reads under the pool's limit loses its lane in a meet). */
  readonly lossChance: Figure;
  /** Weeks from one walk of readings to the next. */
  readonly checkWeeks: number;
  /** By point of the chain: every point has an entry. */
  readonly connectors: Readonly<Record<string, ConnectorCosts>>;
}

/** One assumption as the pool file may give it. All defaults are engineering judgement. */
export interface Assumption {
  /** Key in the pool file. */
  readonly key: string;
  readonly unit: string;
  readonly meaning: string;
  readonly standard: number;
  /** The range that the sensitivity walks through, where the file gives none. */
  readonly low: number;
  readonly high: number;
  /** What the pool file may say at all. */
  readonly least: number;
  readonly most: number;
}

/** The pool's own assumptions, with default, range and limits. */
export const poolAssumptions = {
  labourPerHour: {
    key: "labour_per_hour",
    unit: "currency/h",
    meaning: "labour, an hour of whoever cleans and replaces",
    standard: 40,
    low: 20,
    high: 90,
    least: 0,
    most: 10_000,
  },
  discountRate: {
    key: "discount_rate",
    unit: "per year",
    meaning: "real discount rate",
    standard: 0.03,
    low: 0,
    high: 0.08,
    least: 0,
    most: 0.5,
  },
  horizonYears: {
    key: "horizon_years",
    unit: "years",
    meaning: "planning horizon",
    standard: 10,
    low: 5,
    high: 15,
    least: 0.02,
    most: 30,
  },
  meetsPerSeason: {
    key: "meets_per_season",
    unit: "per year",
    meaning: "meets that the pool is timed for",
    standard: 20,
    low: 8,
    high: 40,
    least: 0,
    most: 365,
  },
  lostLane: {
    key: "lost_lane",
    unit: "currency",
    meaning: "cost of a lane without its timing in one meet",
    standard: 100,
    low: 25,
    high: 400,
    least: 0,
    most: 1_000_000,
  },
  lossChance: {
    key: "loss_chance",
    unit: "per meet",
    meaning: "chance that a path under the limit loses its lane in a meet",
    standard: 0.25,
    low: 0.05,
    high: 1,
    least: 0,
    most: 1,
  },
} as const satisfies Record<string, Assumption>;

/** Weeks between checks that the pool file may say, and the default. */
export const checkWeeksDefault = { standard: 1, least: 1, most: 26 } as const;

/** Defaults for a connector, by who passes through it. Engineering judgement, all of them. */
export const connectorDefaults: Readonly<Record<Sharing, ConnectorCosts>> = {
  pool: {
    part: 260,
    cleanMinutes: 20,
    replaceMinutes: 90,
    lifeYears: 12,
    lifeShape: 2.5,
    ageYears: 4,
  },
  lane: {
    part: 120,
    cleanMinutes: 12,
    replaceMinutes: 40,
    lifeYears: 8,
    lifeShape: 2.5,
    ageYears: 4,
  },
  device: {
    part: 45,
    cleanMinutes: 8,
    replaceMinutes: 25,
    lifeYears: 8,
    lifeShape: 2.5,
    ageYears: 4,
  },
};

/** What a connector's figures may be in the pool file, and by what they vary in a sensitivity. */
export const connectorRanges = {
  part: { key: "part", least: 0, most: 1_000_000, low: 0.7, high: 1.5 },
  cleanMinutes: { key: "clean_minutes", least: 0, most: 1440, low: 0.7, high: 2 },
  replaceMinutes: { key: "replace_minutes", least: 0, most: 1440, low: 0.7, high: 2 },
  lifeYears: { key: "life_years", least: 0.1, most: 100, low: 0.6, high: 1.5 },
  lifeShape: { key: "life_shape", least: 0.5, most: 10, low: 0.8, high: 1.4 },
  ageYears: { key: "age_years", least: 0, most: 100, low: 0.5, high: 1.5 },
} as const;

const figure = (of: Assumption): Figure => ({ value: of.standard, low: of.low, high: of.high });

/** Everything that a pool file without a `costs` section is reckoned with. */
export function defaultCosts(chain: readonly ChainLink[]): Costs {
  return {
    currency: "XXX",
    labourPerHour: figure(poolAssumptions.labourPerHour),
    discountRate: figure(poolAssumptions.discountRate),
    horizonYears: figure(poolAssumptions.horizonYears),
    meetsPerSeason: figure(poolAssumptions.meetsPerSeason),
    lanesAtRisk: null,
    lostLane: figure(poolAssumptions.lostLane),
    lossChance: figure(poolAssumptions.lossChance),
    checkWeeks: checkWeeksDefault.standard,
    connectors: Object.fromEntries(
      chain.map((link) => [link.point, connectorDefaults[link.sharedBy]]),
    ),
  };
}
