import { detectionLimit } from "../circuit/detection-limit.ts";
import { dayNumber } from "../domain/calendar.ts";
import { priorFouled, priorSound } from "../domain/circuit.ts";
import type { ContactFinding, Estimate, WalkDiagnosis } from "../domain/findings.ts";
import { type CircuitName, circuitOf, connectorAt, serves } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import type { Reading } from "../domain/reading.ts";
import { volts } from "../domain/units.ts";
import type { WorkAction, WorkEntry } from "../domain/work.ts";
import { type Sight, type SightPrior, sightOf } from "./sight.ts";

/** One walk with its place in time. */
export interface DatedWalk {
  /** Day number (see domain/calendar.ts) [day]. */
  readonly day: number;
  /**
   * Seconds since 1970-01-01T00:00 of its first reading; null where only the day is known [s since
   * 1970].
   */
  readonly seconds: number | null;
  /** By its readings alone: what may be weighed beside what other walks say. */
  readonly diagnosis: WalkDiagnosis;
  /** As every command says it, from what the walks before it left; absent: the same. */
  readonly informed?: WalkDiagnosis;
  /** What the diagnosis was made from. */
  readonly readings: readonly Reading[];
}

/** One walk's word on one contact. */
export interface Observation {
  readonly walk: string;
  readonly day: number;
  /** Since the segment began [weeks]. */
  readonly weeks: number;
  /** As every command says it [Ω]. */
  readonly ohms: Estimate;
  /** P(at fault), the cable left out, as every command says it. */
  readonly trouble: number;
  /** By the walk's readings alone. */
  readonly sight: Sight;
}

/** One key for a contact in maps; no name of a lane, device or point has a line break. */
export const contactKey = (at: CircuitName & { readonly point: string }): string =>
  `${at.lane}\n${at.device}\n${at.end ?? ""}\n${at.point}`;

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
export interface ContactHistory extends CircuitName {
  readonly point: string;
  readonly connector: string;
  readonly segments: readonly Segment[];
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

const passes = (pool: Pool, entry: WorkEntry, contact: ContactFinding): boolean =>
  entry.point === contact.point && serves(pool, entry, contact);

/** Work that was done before a walk. On a day without times, it follows that day's first walk. */
export function doneBefore(
  entry: Work,
  walk: Pick<DatedWalk, "day" | "seconds">,
  firstOfDay: boolean,
): boolean {
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
  { ohms, fouled, open, cable, intermittent }: ContactFinding,
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
    ohms,
    trouble: fouled + open - cable + intermittent,
    sight,
  });
}

/**
 * A work begins a segment; one before the contact's first walk replaces the nameless first, and the
 * same work done again with no walk between is one work.
 */
function begin(history: OpenHistory, { day, entry }: Work): void {
  const last = history.segments.at(-1);
  const again = last?.begunBy === entry.action || history.segments.length === 1;
  if (last?.observations.length === 0 && again) history.segments.pop();
  history.segments.push({
    begunBy: entry.action,
    begun: day,
    minutes: entry.minutes,
    observations: [],
  });
}

/** What a walk that stands alone takes a contact for before it reads anything. */
function priorOf(pool: Pool, finding: ContactFinding): SightPrior {
  const circuit = circuitOf(pool, finding);
  const connector = circuit && connectorAt(circuit, finding.point);
  if (connector === undefined) return { sound: 1, fouled: 1 };
  const { priors } = connector;
  const fouled = priorFouled(priors);
  return { sound: priorSound(priors, pool.model.openPerFouled, fouled), fouled };
}

/**
 * Every contact's resistance through the walks, split at the works on its connector.
 *
 * `walks` in the order of time. Work of the log that is later than the last walk begins a segment
 * without observations. A work entry whose day is no calendar day is a fault of the caller.
 * Throws where a work's day is none.
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
  const histories = new Map<string, OpenHistory>();
  walks.forEach((walk, index) => {
    const firstOfDay = walks[index - 1]?.day !== walk.day;
    const limit = limitOf(walk, pool);
    const said = new Map((walk.informed?.contacts ?? []).map((one) => [contactKey(one), one]));
    for (const finding of walk.diagnosis.contacts) {
      const key = contactKey(finding);
      const history = histories.get(key) ?? {
        finding,
        works: dated.filter(({ entry }) => passes(pool, entry, finding)),
        done: 0,
        segments: [],
      };
      histories.set(key, history);
      const sight = sightOf(finding, limit, pool.contact, priorOf(pool, finding));
      observe(history, said.get(key) ?? finding, walk, firstOfDay, sight);
    }
  });
  return [...histories.values()].map((history) => {
    for (const later of history.works.slice(history.done)) begin(history, later);
    const { lane, device, end, point } = history.finding;
    const circuit = circuitOf(pool, history.finding);
    const connector = (circuit && connectorAt(circuit, point)?.name) ?? point;
    return { lane, device, end, point, connector, segments: history.segments };
  });
}
