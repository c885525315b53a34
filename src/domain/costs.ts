import { type AssumedRange, assumedCheckWeeks, assumedCosts } from "./assumed.ts";
import type { Sharing } from "./circuit.ts";

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
  /** P(a device fails by itself in a meet), its contacts being good. */
  readonly ownFailure: Figure;
  /** What a meet on the fall-back device costs, as a share of a lost lane. */
  readonly fallbackCost: Figure;
  /** Weeks from one walk of readings to the next. */
  readonly checkWeeks: number;
  /** By point of the chain: every point has an entry. */
  readonly connectors: Readonly<Record<string, ConnectorCosts>>;
}

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
  lanes: {
    part: 120,
    cleanMinutes: 12,
    replaceMinutes: 40,
    lifeYears: 8,
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

const figure = (of: AssumedRange): Figure => ({ value: of.value, low: of.low, high: of.high });

/** Everything that a pool file without a `costs` section is reckoned with. */
export function defaultCosts(
  links: readonly { readonly point: string; readonly sharedBy: Sharing }[],
): Costs {
  return {
    currency: "XXX",
    labourPerHour: figure(assumedCosts.labourPerHour),
    discountRate: figure(assumedCosts.discountRate),
    horizonYears: figure(assumedCosts.horizonYears),
    meetsPerSeason: figure(assumedCosts.meetsPerSeason),
    lanesAtRisk: null,
    lostLane: figure(assumedCosts.lostLane),
    lossChance: figure(assumedCosts.lossChance),
    ownFailure: figure(assumedCosts.ownFailure),
    fallbackCost: figure(assumedCosts.fallbackCost),
    checkWeeks: assumedCheckWeeks.value,
    connectors: Object.fromEntries(
      links.map((link) => [link.point, connectorDefaults[link.sharedBy]]),
    ),
  };
}
