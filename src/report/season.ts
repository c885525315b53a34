import { dayText } from "../domain/calendar.ts";
import { circuitName, sameCircuit } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import { limitOhms } from "../history/limit-ohms.ts";
import type { CircuitTrend, ContactTrend, PoolTrend } from "../history/trend.ts";
import type { ContactSeries } from "./charts/contact-history.ts";
import type { Season } from "./html-report.ts";
import { isAtLimit, leadingContact } from "./leading-contact.ts";

/** What a season shows at most: more pictures than this are not looked at. */
const mostHistories = 4;
const mostControls = 2;

/**
 * The part of a season's trend that a report draws: the contacts that will carry a path over its
 * limit first, every cleaning that was scored, and the points whose readings left their limits.
 *
 * @param emf supply that limits are reckoned with [V]
 */
export function seasonOf(pool: Pool, trend: PoolTrend, emf: number): Season {
  const urgent = trend.circuits.filter((one) => one.crossing !== null).slice(0, mostHistories);
  const flagged = trend.circuits
    .flatMap((one) => one.charts)
    .filter((one) => one.limits !== null && one.readings.some((reading) => reading.flagged));
  return {
    histories: urgent.flatMap((circuit) => {
      const series = contactSeries(pool, trend, circuit, emf);
      return series === null ? [] : [series];
    }),
    cleanings: trend.cleanings.classes
      .flatMap((one) => one.cleanings)
      .toSorted((a, b) => a.day - b.day),
    controls: flagged.slice(0, mostControls),
  };
}

/**
 * The contact that a circuit's forecast is about, with what the forecast says.
 *
 * @param emf Supply that its volts are drawn for [V].
 */
export function contactSeries(
  pool: Pool,
  trend: PoolTrend,
  circuit: CircuitTrend,
  emf: number,
): ContactSeries | null {
  const own = trend.contacts.filter((one) => sameCircuit(one, circuit));
  const driver = leadingContact(trend, circuit);
  if (driver === undefined) return null;
  // What is at its limit is no forecast any more.
  const ahead = isAtLimit(circuit) ? [] : driver.outlook;
  return {
    ...circuitName(driver),
    point: driver.point,
    walks: driver.segments.flatMap(({ observations }) =>
      observations.map(({ day, ohms }) => ({ day: dayText(day), ohms })),
    ),
    work: workOn(driver),
    forecast: ahead.map(({ day, ohms }) => ({ day: dayText(day), ohms })),
    limitOhms: limitOhms(pool, own, driver.point, emf),
    crossing:
      circuit.crossing === null
        ? null
        : {
            median: dayText(circuit.crossing.median),
            low: dayText(circuit.crossing.low),
            high: dayText(circuit.crossing.high),
          },
  };
}

/** Works that divide a contact's history, the oldest first. */
const workOn = ({ segments }: ContactTrend): ContactSeries["work"] =>
  segments.flatMap(({ begun, begunBy }) =>
    begunBy === "first walk" ? [] : [{ day: dayText(begun), action: begunBy }],
  );
