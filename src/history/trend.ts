/**
 * What is getting worse: from the walks' diagnoses and the work log to every contact's growth, the
 * day on which each path reaches its limit, and what the cleanings have done.
 *
 *     DatedWalk[] ─┐
 *                  ├─ histories ─> growth, class by class ─┬─> floor creep
 *     WorkEntry[] ─┘      │                                ├─> forecast of each circuit
 *                         └──> cleaning record             └─> charts of each point
 */
import { dayText } from "../domain/calendar.ts";
import type { Estimate, WalkDiagnosis } from "../domain/findings.ts";
import { type CircuitName, circuitKey } from "../domain/place.ts";
import { type LogNormal, type Pool, UNIT_LOAD } from "../domain/pool.ts";
import { ohms } from "../domain/units.ts";
import type { WorkEntry } from "../domain/work.ts";
import { halfWidth } from "../numerics/fast-normal.ts";
import { type CleaningRecord, type CleaningScore, cleaningRecord } from "./cleaning-record.ts";
import { hadSomethingToCure } from "./cleaning-score.ts";
import { growthQuantile } from "./contact-fit.ts";
import {
  type ContactHistory,
  contactHistories,
  contactKey,
  type DatedWalk,
  type Segment,
} from "./contact-history.ts";
import { endReadings } from "./end-readings.ts";
import { type FloorCreep, floorCreep } from "./floor-creep.ts";
import { type CircuitForecast, forecastCircuit, typicalEmf } from "./forecast.ts";
import { type ClassGrowth, type FittedContact, fitClass } from "./growth.ts";
import { type HoldTime, holdTime } from "./hold-time.ts";
import { type MonotoneTrend, monotoneTrend } from "./monotone-trend.ts";
import { type OutlookPoint, outlook } from "./outlook.ts";
import { chartCircuit, type PointChart, readingsByWalk } from "./point-chart.ts";

/** One contact over the season. */
export interface ContactTrend extends CircuitName {
  readonly point: string;
  readonly connector: string;
  /** Observations between works. */
  readonly segments: readonly Segment[];
  /** Growth of ln ohms a week, 90 %: `exp(growth) - 1` is the share a week. */
  readonly growth: Estimate;
  /** By its line on the day of the forecast, 90 % [Ω]. */
  readonly ohms: Estimate;
  /** The line drawn on from that day. */
  readonly outlook: readonly OutlookPoint[];
  readonly floor: FloorCreep;
  /** How its last cleaning went; null if the log has none. */
  readonly lastCleaning: CleaningScore | null;
}

/** One circuit over the season. */
export interface CircuitTrend extends CircuitForecast {
  /** Volts a week at the last point since its last work, no line assumed; null without readings. */
  readonly fall: MonotoneTrend | null;
  readonly charts: readonly PointChart[];
}

/** One class of connectors over the season. */
export interface ClassTrend extends ClassGrowth {
  /** How long a cleaning that helped has held; null under two that ended. */
  readonly holdTime: HoldTime | null;
}

/** Everything that the season says. */
export interface PoolTrend {
  readonly pool: string;
  readonly resistanceUnit: WalkDiagnosis["resistanceUnit"];
  readonly walks: readonly { readonly walk: string; readonly day: number; readonly date: string }[];
  /** Usual days between walks. */
  readonly rhythm: number;
  /** In the order of the chain. */
  readonly classes: readonly ClassTrend[];
  /** Circuits, the first to cross its limit first. */
  readonly circuits: readonly CircuitTrend[];
  readonly contacts: readonly ContactTrend[];
  readonly cleanings: CleaningRecord;
}

const NINETY = halfWidth(0.9);
/**
 * How well many walks together know the EMF, as a part of what is known before any: contacts that
 * grow alike lower every walk's EMF alike. Judgement, held by the coverage of `npm run study -- trend`.
 */
const COMMON = 0.5;
/** Days between walks where there is but one. */
const WEEKLY = 7;

/** Median of the days between one walk day and the next. */
function rhythmOf(walks: readonly DatedWalk[]): number {
  const days = [...new Set(walks.map(({ day }) => day))];
  const gaps = days.slice(1).map((day, i) => day - days[i]!);
  gaps.sort((a, b) => a - b);
  return gaps[Math.floor(gaps.length / 2)] ?? WEEKLY;
}

function contactTrend(
  fitted: FittedContact,
  pool: Pool,
  from: number,
  lastCleaning: CleaningScore | null,
): ContactTrend {
  const { history, fit } = fitted;
  const { level, levelVariance, covariance } = fit.levels.at(-1)!;
  const weeks = (from - history.segments.at(-1)!.begun) / 7;
  const now = level + fit.growth * weeks;
  const variance = levelVariance + 2 * covariance * weeks + fit.growthVariance * weeks * weeks;
  const reach = NINETY * Math.sqrt(Math.max(0, variance));
  return {
    ...history,
    growth: {
      median: growthQuantile(fit.grid, 0.5),
      low: growthQuantile(fit.grid, 0.05),
      high: growthQuantile(fit.grid, 0.95),
    },
    ohms: { median: Math.exp(now), low: Math.exp(now - reach), high: Math.exp(now + reach) },
    outlook: outlook(fitted, from),
    floor: floorCreep(fitted, pool.contact, from),
    lastCleaning,
  };
}

/** The fall of the last point's readings since anything on the path was worked on. */
function fallOf(contacts: readonly FittedContact[], chart: PointChart): MonotoneTrend | null {
  const since = Math.max(...contacts.map(({ history }) => history.segments.at(-1)!.begun));
  const readings = chart.readings.filter(({ day }) => day >= since);
  return monotoneTrend(
    readings.map(({ day }) => day / 7),
    readings.map(({ volts }) => volts),
    0.9,
  );
}

/** A cleaning with nothing to cure has helped nothing, however long no trouble came after it. */
function classHoldTime(cleanings: readonly CleaningScore[]): HoldTime | null {
  return holdTime(
    cleanings
      .filter(hadSomethingToCure)
      .flatMap(({ weeksHeld, heldUntil }) =>
        weeksHeld !== null && weeksHeld > 0
          ? [{ weeks: weeksHeld, ended: heldUntil === "trouble" }]
          : [],
      ),
  );
}

/** Work longer than this after the last walk is a slip of the pen: nobody forecasts from it [days]. */
export const FAR_OFF = 365;

/** The day of the last walk, or of work done since. */
function startOf(lastWalk: number, histories: readonly ContactHistory[]): number {
  const begun = histories.map(({ segments }) => segments.at(-1)!.begun);
  return Math.max(lastWalk, ...begun.filter((day) => day <= lastWalk + FAR_OFF));
}

/** The pool with its contacts in the unit of the season's resistances. */
function inUnits(pool: Pool, unit: WalkDiagnosis["resistanceUnit"]): Pool {
  if (unit === "ohm") return pool;
  const inLoads = <Of extends LogNormal>(of: Of): Of => ({
    ...of,
    medianOhms: ohms(of.medianOhms / UNIT_LOAD),
  });
  const { sound, fouled } = pool.contact;
  return { ...pool, contact: { sound: inLoads(sound), fouled: fouled.map(inLoads) } };
}

/**
 * The whole season of one pool. `walks` in the order of time, at least one with a contact; the
 * forecast starts on the day of the last walk, or of work done since. `progress` is told what is
 * being done and how much of it is behind.
 */
export function trend(
  given: Pool,
  walks: readonly DatedWalk[],
  work: readonly WorkEntry[],
  progress: (what: string, done: number, of: number) => void = () => {},
): PoolTrend {
  const { resistanceUnit } = walks.at(-1)!.diagnosis;
  const pool = inUnits(given, resistanceUnit);
  const histories = contactHistories(pool, walks, work);
  if (histories.length === 0)
    throw new Error("no walk has a contact: nothing to draw a line through");
  const growths: ClassGrowth[] = [];
  const fitted: FittedContact[] = [];
  pool.points.forEach((point, k) => {
    progress("growth", k, pool.points.length);
    const ofLink = histories.filter((history) => history.point === point);
    if (ofLink.length === 0) return;
    const found = fitClass(ofLink, pool.contact);
    growths.push(found.class);
    fitted.push(...found.contacts);
  });
  const fits = new Map(fitted.map(({ history, fit }) => [history, fit]));
  const cleanings = cleaningRecord(pool, histories, (history) => fits.get(history)!);
  const classes = growths.map((growth): ClassTrend => {
    const record = cleanings.classes.find(({ point }) => point === growth.point)!;
    return { ...growth, holdTime: classHoldTime(record.cleanings) };
  });
  const from = startOf(walks.at(-1)!.day, histories);
  const rhythm = rhythmOf(walks);
  const lastCleanings = new Map(
    cleanings.contacts.map((record) => [contactKey(record), record.cleanings.at(-1) ?? null]),
  );
  return {
    pool: pool.name,
    resistanceUnit,
    walks: walks.map(({ day, diagnosis: { walk } }) => ({ walk, day, date: dayText(day) })),
    rhythm,
    classes,
    circuits: circuitTrends(pool, walks, fitted, classes, from, rhythm, progress),
    contacts: fitted.map((contact) => {
      const last = lastCleanings.get(contactKey(contact.history)) ?? null;
      return contactTrend(contact, pool, from, last);
    }),
    cleanings,
  };
}

function circuitTrends(
  pool: Pool,
  walks: readonly DatedWalk[],
  fitted: readonly FittedContact[],
  classes: readonly ClassGrowth[],
  from: number,
  rhythm: number,
  progress: (what: string, done: number, of: number) => void,
): readonly CircuitTrend[] {
  const emf = typicalEmf(
    walks.map(({ diagnosis }) => diagnosis.emf),
    COMMON * pool.supplies[0]!.emfSd,
  );
  const readings = readingsByWalk(walks);
  const scatterAt = new Map(classes.map(({ point, scatter }) => [point, scatter]));
  const byCircuit = new Map<string, FittedContact[]>();
  for (const contact of fitted) {
    const key = circuitKey(contact.history);
    byCircuit.set(key, [...(byCircuit.get(key) ?? []), contact]);
  }
  const circuits = [...byCircuit.values()].map((contacts, i): CircuitTrend => {
    progress("forecast", i, byCircuit.size);
    const charts = chartCircuit(pool, contacts, walks, readings);
    return {
      ...forecastCircuit(
        pool,
        contacts,
        contacts.map(({ history }) => scatterAt.get(history.point)!),
        endReadings(pool, contacts, walks, readings),
        emf,
        from,
        rhythm,
      ),
      fall: fallOf(contacts, charts.at(-1)!),
      charts,
    };
  });
  const urgency = (circuit: CircuitTrend): number =>
    Number.isFinite(circuit.crossing.median)
      ? circuit.crossing.median - from
      : 1e6 * (2 - circuit.willCross);
  return circuits.sort((a, b) => urgency(a) - urgency(b));
}
