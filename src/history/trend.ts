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
import type { Estimate } from "../domain/findings.ts";
import { type CircuitName, circuitName } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import type { WorkEntry } from "../domain/work.ts";
import { type CleaningRecord, type CleaningScore, cleaningRecord } from "./cleaning-record.ts";
import { hadSomethingToCure } from "./cleaning-score.ts";
import {
  type ContactHistory,
  contactHistories,
  contactKey,
  type DatedWalk,
  type Segment,
} from "./contact-history.ts";
import {
  type ContactBelief,
  type ContactLine,
  contactLine,
  type OutlookPoint,
} from "./contact-line.ts";
import { type FloorCreep, floorCreep, floorsOf } from "./floor-creep.ts";
import { type CircuitForecast, forecastCircuit } from "./forecast.ts";
import { analyzeGrowth, type GrowthAnalysis } from "./growth/analyze-growth.ts";
import { type PathPasts, pathPasts } from "./growth/path-pasts.ts";
import { type GrowthLaw, growthLaws } from "./growth-law.ts";
import { type HoldTime, holdTime } from "./hold-time.ts";
import { type MonotoneTrend, monotoneTrend } from "./monotone-trend.ts";
import { chartCircuit, type PointChart, readingsByWalk } from "./point-chart.ts";
import { FAR_OFF, type ReadSeason, readSeason } from "./read-season.ts";

/** One contact over the season. */
export interface ContactTrend extends CircuitName {
  readonly point: string;
  readonly connector: string;
  /** Observations between works. */
  readonly segments: readonly Segment[];
  /** Growth of ln ohms a week, 90 %: `exp(growth) - 1` is the share a week. */
  readonly growth: Estimate;
  /** P(it grows at all). */
  readonly grows: number;
  /** By its line on the day of the forecast, 90 % [Ω]. */
  readonly ohms: Estimate;
  /** The line drawn on from that day. */
  readonly outlook: readonly OutlookPoint[];
  /** It fouled at a stroke between two walks, the last time; null: nothing says so. */
  readonly stroke: { readonly after: string; readonly until: string } | null;
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
export interface ClassTrend extends GrowthLaw {
  /** How long a cleaning that helped has held; null under two that ended. */
  readonly holdTime: HoldTime | null;
}

/** Everything that the season says. */
export interface PoolTrend {
  readonly pool: string;
  /** The walks in order, each with its day number [day]. */
  readonly walks: readonly { readonly walk: string; readonly day: number; readonly date: string }[];
  /** Usual days between walks [days]. */
  readonly rhythm: number;
  /** In the order of the chain. */
  readonly classes: readonly ClassTrend[];
  /** Circuits, the first to cross its limit first. */
  readonly circuits: readonly CircuitTrend[];
  readonly contacts: readonly ContactTrend[];
  /** What the walks leave open about each contact, in the order of `contacts`. */
  readonly beliefs: readonly ContactBelief[];
  readonly cleanings: CleaningRecord;
  /** Steps of the whole pool that growth does not explain well. */
  readonly steps: readonly TrendStep[];
}

/** A step, such as a storm, that many contacts took between the walks of two days. */
export interface TrendStep {
  readonly after: string;
  readonly until: string;
  /** P(it came at all). */
  readonly chance: number;
}

/** Days between walks where there is but one. */
const WEEKLY = 7;

/** Median of the days between one walk day and the next. */
function rhythmOf(walks: readonly DatedWalk[]): number {
  const days = [...new Set(walks.map(({ day }) => day))];
  const gaps = days.slice(1).map((day, i) => day - days[i]!);
  gaps.sort((a, b) => a - b);
  return gaps[Math.floor(gaps.length / 2)] ?? WEEKLY;
}

/** One contact with what the season's fit says of it. */
interface FittedContact {
  readonly history: ContactHistory;
  /** It fouled at a stroke in front of this walk; null: it did not. */
  readonly struck: number | null;
  readonly line: ContactLine;
  /** Expected ohms in each walk, and their variance. */
  readonly mean: Float64Array;
  readonly variance: Float64Array;
}

/** The days of a walk and the one in front of it. */
const between = (walks: readonly DatedWalk[], w: number) => ({
  after: dayText(walks[w - 1]!.day),
  until: dayText(walks[w]!.day),
});

function contactTrend(
  { history, line, mean, variance, struck }: FittedContact,
  pool: Pool,
  walks: readonly DatedWalk[],
  from: number,
  lastCleaning: CleaningScore | null,
): ContactTrend {
  const { growth, grows, ohms: now, outlook } = line;
  const floors = floorsOf(history, walks, mean, variance, pool.contact);
  return {
    ...history,
    ...{ growth, grows, ohms: now, outlook },
    stroke: struck === null ? null : between(walks, struck),
    floor: floorCreep(history, floors, pool.contact, from),
    lastCleaning,
  };
}

/** The fall of the last point's readings since anything on the path was worked on. */
function fallOf(contacts: readonly ContactHistory[], chart: PointChart): MonotoneTrend | null {
  const since = Math.max(...contacts.map(({ segments }) => segments.at(-1)!.begun));
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

/** The day of the last walk, or of work done since. */
function startOf(lastWalk: number, histories: readonly ContactHistory[]): number {
  const begun = histories.map(({ segments }) => segments.at(-1)!.begun);
  return Math.max(lastWalk, ...begun.filter((day) => day <= lastWalk + FAR_OFF));
}

/**
 * The whole season of one pool. `walks` in the order of time, at least one with a contact; the
 * forecast starts on the day of the last walk, or of work done since. `progress` is told what is
 * being done and how much of it is behind.
 * Throws where no walk has a contact.
 */
export function trend(
  pool: Pool,
  walks: readonly DatedWalk[],
  work: readonly WorkEntry[],
  progress: (what: string, done: number, of: number) => void = () => {},
): PoolTrend {
  const histories = contactHistories(pool, walks, work);
  if (histories.length === 0)
    throw new Error("no walk has a contact: nothing to draw a line through");
  const from = startOf(walks.at(-1)!.day, histories);
  const rhythm = rhythmOf(walks);
  progress("growth", 0, 1);
  const read = readSeason(pool, walks, histories, from);
  const analysis = analyzeGrowth(read.input);
  const pasts = read.circuits.map((_, p) => {
    progress("forecast", p, read.circuits.length);
    return pathPasts(analysis.season, analysis.fit, p);
  });
  const fitted = fittedContacts(read, analysis, pasts);
  const lines = new Map(fitted.map((one) => [one.history, one.line]));
  const cleanings = cleaningRecord(pool, histories, (history) => {
    const { meanGrowth, growthVariance } = lines.get(history)!;
    return { growth: meanGrowth, growthVariance };
  });
  const classes = growthLaws(read, analysis).map((law): ClassTrend => {
    const record = cleanings.classes.find(({ point }) => point === law.point)!;
    return { ...law, holdTime: classHoldTime(record.cleanings) };
  });
  const lastCleanings = new Map(
    cleanings.contacts.map((record) => [contactKey(record), record.cleanings.at(-1) ?? null]),
  );
  return {
    pool: pool.name,
    walks: walks.map(({ day, diagnosis: { walk } }) => ({ walk, day, date: dayText(day) })),
    rhythm,
    classes,
    circuits: circuitTrends(pool, read, analysis, walks, pasts, fitted, rhythm),
    contacts: fitted.map((contact) => {
      const last = lastCleanings.get(contactKey(contact.history)) ?? null;
      return contactTrend(contact, pool, walks, from, last);
    }),
    beliefs: fitted.map(({ history, line: { points } }) => ({
      ...circuitName(history),
      point: history.point,
      points,
    })),
    cleanings,
    steps: analysis.steps.map(({ walk, chance }) => ({ ...between(walks, walk), chance })),
  };
}

/** Every contact of every circuit with its line. */
function fittedContacts(
  { circuits, input: { from } }: ReadSeason,
  { fit, strokes }: GrowthAnalysis,
  pasts: readonly PathPasts[],
): readonly FittedContact[] {
  return circuits.flatMap((contacts, p) =>
    contacts.map((history, k) => ({
      history,
      struck: strokes.findLast(({ path, position }) => path === p && position === k)?.walk ?? null,
      line: contactLine(pasts[p]!, k, from),
      mean: fit.moments[p]![k]!.mean,
      variance: fit.moments[p]![k]!.variance,
    })),
  );
}

function circuitTrends(
  pool: Pool,
  read: ReadSeason,
  analysis: GrowthAnalysis,
  walks: readonly DatedWalk[],
  pasts: readonly PathPasts[],
  fitted: readonly FittedContact[],
  rhythm: number,
): readonly CircuitTrend[] {
  const readings = readingsByWalk(walks);
  const byHistory = new Map(fitted.map((contact) => [contact.history, contact]));
  const circuits = read.circuits.map((histories, p): CircuitTrend => {
    const contacts = histories.map((history) => byHistory.get(history)!);
    const charts = chartCircuit(pool, contacts, walks, readings);
    return {
      ...forecastCircuit(pool, read, analysis, walks, p, pasts[p]!, rhythm),
      fall: fallOf(histories, charts.at(-1)!),
      charts,
    };
  });
  const urgency = ({ crossing, notBefore, growing }: CircuitTrend): number =>
    crossing === null ? 1e6 + notBefore - growing : crossing.median;
  return circuits.sort((a, b) => urgency(a) - urgency(b));
}
