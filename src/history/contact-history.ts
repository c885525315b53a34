import { detectionLimit } from "../circuit/detection-limit.ts";
import { dayNumber } from "../domain/calendar.ts";
import type { ContactFinding, Estimate, WalkDiagnosis } from "../domain/findings.ts";
import type { Lane, LogNormal, Pool } from "../domain/pool.ts";
import type { Reading } from "../domain/reading.ts";
import { volts } from "../domain/units.ts";
import type { WorkAction, WorkEntry } from "../domain/work.ts";

/** One walk with its place in time. */
export interface DatedWalk {
  /** Day number (see domain/calendar.ts). */
  readonly day: number;
  /** Seconds since 1970-01-01T00:00 of its first reading; null where only the day is known. */
  readonly seconds: number | null;
  readonly diagnosis: WalkDiagnosis;
  /** What the diagnosis was made from. */
  readonly readings: readonly Reading[];
}

/**
 * What one walk says about one contact's resistance.
 *
 * - `resolved`: ln ohms is `logOhms`, give or take `error`.
 * - `bound`: it lies between `low` and `high` ln ohms, either of which may be infinite: the meter
 *   cannot see less, the readings cannot tell two contacts apart, or the contact is open.
 * - `unseen`: the meter is blind to it; nothing follows.
 */
export type Sight =
  | Resolved
  | { readonly kind: "bound"; readonly low: number; readonly high: number }
  | { readonly kind: "unseen" };

interface Resolved {
  readonly kind: "resolved";
  readonly logOhms: number;
  readonly error: number;
}

export interface Observation {
  readonly walk: string;
  readonly day: number;
  /** Since the segment began [weeks]. */
  readonly weeks: number;
  /** As the diagnosis has it [Ω]. */
  readonly ohms: Estimate;
  /** P(fouled or open), as the diagnosis has it. */
  readonly trouble: number;
  readonly sight: Sight;
}

/** One key for a contact in maps; no name of a lane, device or point has a line break. */
export const contactKey = (at: { lane: Lane; device: string; point: string }): string =>
  `${at.lane}\n${at.device}\n${at.point}`;

/** The walks between two works on a contact. */
export interface Segment {
  /** `first walk`: nobody knows when it was last cleaned, time counts from the first walk. */
  readonly begunBy: WorkAction | "first walk";
  /** Day number of the work, or of the first walk. */
  readonly begun: number;
  /** What the work took, where the log says so [min]. */
  readonly minutes: number | null;
  readonly observations: readonly Observation[];
}

/** One contact through all walks, in the order of time. */
export interface ContactHistory {
  readonly lane: Lane;
  readonly device: string;
  readonly point: string;
  readonly connector: string;
  readonly segments: readonly Segment[];
}

/** Probability of one state from which the other states' share in the quantiles is negligible. */
const SURE = 0.96;
/** A posterior this much narrower than its prior shows what was read, not what was assumed. */
const NARROWER = 0.75;
/** Standard deviations from the median to the 5 % and 95 % quantile. */
const TO_EDGE = 1.6449;

/** The reading's own part of a posterior in ln ohms: the state's prior divided out. */
function withoutPrior(logOhms: number, error: number, prior: LogNormal): Resolved {
  const precision = 1 / error ** 2;
  const priorPrecision = 1 / prior.logSd ** 2;
  const own = precision - priorPrecision;
  const sum = precision * logOhms - priorPrecision * Math.log(prior.medianOhms);
  return { kind: "resolved", logOhms: sum / own, error: Math.sqrt(1 / own) };
}

/**
 * What a finding says, given the smallest resistance that the walk's meter can show [Ω] (null: it
 * shows none).
 *
 * A value under that limit is a bound, never its prior's median, and never the value that noise made
 * of it: whether a value counts must not depend on which way its noise went.
 */
export function sightOf(
  finding: ContactFinding,
  limit: number | null,
  contact: Pool["contact"],
): Sight {
  const { median, low, high } = finding.ohms;
  const sound = finding.sound > finding.fouled;
  const prior = sound ? contact.sound : contact.fouled;
  const sure = Math.max(finding.sound, finding.fouled) >= SURE;
  // The half of the interval that the other states do not reach into.
  const half = sure && finding.open <= finding.sound && !sound ? high / median : median / low;
  const error = sure ? Math.log(half) / TO_EDGE : Math.log(high / low) / (2 * TO_EDGE);
  if (Number.isFinite(error) && error > 0 && error < NARROWER * prior.logSd) {
    const logOhms = Math.log(median);
    // Between the states the prior is neither's, and flat enough.
    const value: Resolved = sure
      ? withoutPrior(logOhms, error, prior)
      : { kind: "resolved", logOhms, error };
    if (limit === null || value.logOhms >= Math.log(limit)) return value;
  }
  if (finding.open >= SURE || low === Infinity) {
    const { medianOhms, logSd } = contact.fouled;
    const high = Number.POSITIVE_INFINITY;
    return { kind: "bound", low: Math.log(medianOhms) + TO_EDGE * logSd, high };
  }
  if (limit === null && sound) return { kind: "unseen" };
  // Where it may be sound, the low end is the prior's, and the meter did not see that far down.
  return {
    kind: "bound",
    low: finding.sound > 0.05 ? Number.NEGATIVE_INFINITY : Math.log(low),
    high: Math.log(Math.max(high, limit ?? 0)),
  };
}

/** The coarsest limit of the walk's meters that see anything: all that is safe to say. */
function limitOf({ diagnosis: { meters }, readings }: DatedWalk, pool: Pool): number | null {
  const finest = volts(Math.min(0.01, ...readings.map(({ step }) => step)));
  const limits =
    meters.length > 0
      ? meters.map((sight) => (sight.blind ? null : sight.detectionLimit))
      : [detectionLimit(pool, pool.meters[0]!, finest).contact];
  const seen = limits.filter((limit) => limit !== null);
  return seen.length === 0 ? null : Math.max(...seen);
}

const passes = (entry: WorkEntry, contact: ContactFinding): boolean =>
  entry.point === contact.point &&
  (entry.lane === null || String(entry.lane) === String(contact.lane)) &&
  (entry.device === null || entry.device === contact.device);

/** Work that was done before a walk. On a day without times, it follows that day's first walk. */
function doneBefore(entry: Work, walk: DatedWalk, firstOfDay: boolean): boolean {
  if (entry.day !== walk.day) return entry.day < walk.day;
  const worked = entry.entry.doneAt.seconds;
  return worked !== null && walk.seconds !== null ? worked <= walk.seconds : !firstOfDay;
}

interface Work {
  readonly day: number;
  readonly entry: WorkEntry;
}

interface OpenSegment {
  readonly begunBy: Segment["begunBy"];
  readonly begun: number;
  readonly minutes: number | null;
  readonly observations: Observation[];
}

interface OpenHistory {
  readonly finding: ContactFinding;
  readonly works: readonly Work[];
  /** Works already behind us. */
  done: number;
  readonly segments: OpenSegment[];
}

/** Adds what one walk says about one contact. */
function observe(
  history: OpenHistory,
  finding: ContactFinding,
  walk: DatedWalk,
  firstOfDay: boolean,
  sight: Sight,
): void {
  if (history.segments.length === 0) {
    history.segments.push({
      begunBy: "first walk",
      begun: walk.day,
      minutes: null,
      observations: [],
    });
  }
  for (; history.done < history.works.length; history.done++) {
    const work = history.works[history.done]!;
    if (!doneBefore(work, walk, firstOfDay)) break;
    begin(history, work);
  }
  const segment = history.segments.at(-1)!;
  segment.observations.push({
    walk: walk.diagnosis.walk,
    day: walk.day,
    weeks: (walk.day - segment.begun) / 7,
    ohms: finding.ohms,
    trouble: finding.fouled + finding.open,
    sight,
  });
}

/** A work begins a segment; one before the contact's first walk replaces the nameless first. */
function begin(history: OpenHistory, { day, entry }: Work): void {
  if (history.segments.at(-1)?.observations.length === 0 && history.segments.length === 1) {
    history.segments.pop();
  }
  history.segments.push({
    begunBy: entry.action,
    begun: day,
    minutes: entry.minutes,
    observations: [],
  });
}

/**
 * Every contact's resistance through the walks, split at the works on its connector.
 *
 * `walks` in the order of time. Work of the log that is later than the last walk begins a segment
 * without observations. A work entry whose day is no calendar day is a fault of the caller.
 */
export function contactHistories(
  pool: Pool,
  walks: readonly DatedWalk[],
  work: readonly WorkEntry[],
): readonly ContactHistory[] {
  const dated = work.map((entry): Work => {
    const day = dayNumber(entry.doneAt.day);
    if (day === null) throw new Error(`work entry on '${entry.doneAt.day}', which is no day`);
    return { day, entry };
  });
  dated.sort(
    (a, b) => a.day - b.day || (a.entry.doneAt.seconds ?? 0) - (b.entry.doneAt.seconds ?? 0),
  );
  const connectorAt = new Map(pool.chain.map(({ point, connector }) => [point, connector]));
  const histories = new Map<string, OpenHistory>();
  walks.forEach((walk, index) => {
    const firstOfDay = walks[index - 1]?.day !== walk.day;
    const limit = limitOf(walk, pool);
    for (const finding of walk.diagnosis.contacts) {
      const key = contactKey(finding);
      const history = histories.get(key) ?? {
        finding,
        works: dated.filter(({ entry }) => passes(entry, finding)),
        done: 0,
        segments: [],
      };
      histories.set(key, history);
      observe(history, finding, walk, firstOfDay, sightOf(finding, limit, pool.contact));
    }
  });
  return [...histories.values()].map((history) => {
    for (const later of history.works.slice(history.done)) begin(history, later);
    const { lane, device, point } = history.finding;
    const connector = connectorAt.get(point) ?? point;
    return { lane, device, point, connector, segments: history.segments };
  });
}
