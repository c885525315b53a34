import { assumedCheckWeeks, assumedCosts, assumedLookMinutes } from "./assumed.ts";
import { connectorRanges } from "./assumed-connectors.ts";
import type { AssumedRange } from "./assumed-figure.ts";
import type { Sharing } from "./circuit.ts";
import { NO_CURRENCY } from "./currency.ts";

/** A figure that nobody knows exactly: what is reckoned with, and the range that it may lie in. */
export interface Figure {
  /** What is reckoned with, the median [as its key says; any]. */
  readonly value: number;
  /** The 5 % point [as its key says; at most `value`]. */
  readonly low: number;
  /** The 95 % point [as its key says; at least `value`]. */
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
  /**
   * Weibull shape of its service life: 1 breaks down at any age alike, above 1 wears out [1; over
   * 0].
   */
  readonly lifeShape: number;
  /** Age of what is installed now, where the work log shows no replacement [years]. */
  readonly ageYears: number;
}

/** How connectors are kept today, as the facility states it. */
export interface Practice {
  /** Clean where the path's last point reads under this [V]; null: not because of a reading. */
  readonly cleanUnder: number | null;
  /** Clean every so many weeks, whatever it reads; null: not by the calendar [weeks]. */
  readonly cleanEvery: number | null;
  /**
   * Replace after so many failed cleanings in a row; null: only what breaks [cleanings; whole, 1 or
   * more].
   */
  readonly replaceAfter: number | null;
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
  /** Lanes that a meet swims in; null: all of the pool's [lanes; whole, 1 or more]. */
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
  /** Labour to look for a break and push the connector home [min]. */
  readonly lookMinutes: number;
  /** Null: nobody said; the memo then has no such option. */
  readonly practice: Practice | null;
  /** By point of the chain: every point has an entry. */
  readonly connectors: Readonly<Record<string, ConnectorCosts>>;
}

const connectorOf = (sharing: Sharing): ConnectorCosts => ({
  part: connectorRanges.part.by[sharing],
  cleanMinutes: connectorRanges.cleanMinutes.by[sharing],
  replaceMinutes: connectorRanges.replaceMinutes.by[sharing],
  lifeYears: connectorRanges.lifeYears.by[sharing],
  lifeShape: connectorRanges.lifeShape.by[sharing],
  ageYears: connectorRanges.ageYears.by[sharing],
});

/** What a connector costs where the pool file says nothing, by who passes through it. */
export const connectorDefaults: Readonly<Record<Sharing, ConnectorCosts>> = {
  pool: connectorOf("pool"),
  lanes: connectorOf("lanes"),
  lane: connectorOf("lane"),
  device: connectorOf("device"),
};

/** What a connector costs. */
export const connectorCosts = (
  { connectors }: Pick<Costs, "connectors">,
  { point, sharing }: { readonly point: string; readonly sharing: Sharing },
): ConnectorCosts => connectors[point] ?? connectorDefaults[sharing];

const figure = (of: AssumedRange): Figure => ({ value: of.value, low: of.low, high: of.high });

/** A pool, as far as its prices go. */
interface PricedPool {
  readonly costs?: Costs;
  readonly links: readonly { readonly point: string; readonly sharedBy: Sharing }[];
}

/** What a pool is reckoned with. */
export const costsOf = ({ costs, links }: PricedPool): Costs => costs ?? defaultCosts(links);

/** Everything that a pool file without a `costs` section is reckoned with. */
export function defaultCosts(links: PricedPool["links"]): Costs {
  return {
    currency: NO_CURRENCY,
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
    lookMinutes: assumedLookMinutes.value,
    practice: null,
    connectors: Object.fromEntries(
      links.map((link) => [link.point, connectorDefaults[link.sharedBy]]),
    ),
  };
}
