import { dayText } from "../domain/calendar.ts";
import type { Estimate } from "../domain/findings.ts";
import type { Reject } from "../domain/reading.ts";
import type { FilmRecord } from "../history/cleaning-record.ts";
import type { CircuitTrend, ContactTrend, PoolTrend } from "../history/trend.ts";

const datesOf = ({ median, low, high }: Estimate) => ({
  median: dayText(median),
  low: dayText(low),
  high: dayText(high),
});

/** Share a week from ln ohms a week: 0.12 is 12 % a week. */
const shareOf = ({ median, low, high }: Estimate): Estimate => ({
  median: Math.expm1(median),
  low: Math.expm1(low),
  high: Math.expm1(high),
});

const circuitJson = ({ charts, crossing, notBefore, lookAgain, from, ...rest }: CircuitTrend) => ({
  ...rest,
  from: dayText(from),
  notBefore: dayText(notBefore),
  crossing: crossing === null ? null : datesOf(crossing),
  lookAgain: dayText(lookAgain),
  charts: charts.map((chart) => ({
    point: chart.point,
    limits: chart.limits,
    readings: chart.readings.map(({ day, ...reading }) => ({ date: dayText(day), ...reading })),
  })),
});

const contactJson = ({ segments, growth, outlook, floor, ...rest }: ContactTrend) => ({
  ...rest,
  growthPerWeek: shareOf(growth),
  outlook: outlook.map(({ day, ohms }) => ({ date: dayText(day), ohms })),
  floor: {
    ...floor,
    floors: floor.floors.map(({ day, ...one }) => ({ date: dayText(day), ...one })),
  },
  segments: segments.map(({ begun, begunBy, minutes, observations }) => ({
    begunBy,
    begun: dayText(begun),
    minutes,
    observations: observations.map(({ day, ...one }) => ({ date: dayText(day), ...one })),
  })),
});

const recordJson = <Record extends FilmRecord>(record: Record) => ({
  ...record,
  cleanings: record.cleanings.map(({ day: _, ...score }) => score),
});

/** What `dropwise trend --json` prints: dates for day numbers, shares for logarithms. */
export const trendJson = (
  trend: PoolTrend,
  walk: string,
  undated: readonly string[],
  rejected: readonly Reject[],
  assumedLoadOhms: number | null,
) => ({
  schema: "dropwise-trend-2",
  pool: trend.pool,
  walk,
  assumedLoadOhms,
  rhythmDays: trend.rhythm,
  walks: trend.walks.map(({ walk, date }) => ({ walk, date })),
  undated,
  classes: trend.classes,
  steps: trend.steps,
  circuits: trend.circuits.map(circuitJson),
  contacts: trend.contacts.map(contactJson),
  cleanings: {
    contacts: trend.cleanings.contacts.map(recordJson),
    connectors: trend.cleanings.connectors.map(recordJson),
    classes: trend.cleanings.classes.map(recordJson),
  },
  rejected,
});
