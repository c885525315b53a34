import { type Circuit, lastPoint } from "../domain/circuit.ts";
import type { WalkDiagnosis } from "../domain/findings.ts";
import { meetDefaults } from "../domain/meet.ts";
import {
  type CircuitName,
  circuitName,
  type Lane,
  lanesAlong,
  sameCircuit,
  sameLane,
} from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import type { Reading } from "../domain/reading.ts";
import type { Carried } from "./carried.ts";
import { diagnose } from "./diagnose.ts";
import { stateChances } from "./state-chances.ts";

/**
 * How a reading is taken: as always, while the plug or its cord is moved, or with the device unplugged
 * from the last point.
 */
export type Act = "read" | "move" | "unplug";

/** A reading that could be taken next, and what it is worth. */
export interface NextReading extends CircuitName {
  readonly point: string;
  readonly act: Act;
  /**
   * Read: what is not known yet of its circuit's verdict, or of a weak one's fault, on which side of
   * the point it lies; the most that it can bring. Moved and unplugged: what the outcome tells of
   * whether a contact comes and goes, or the device conducts [bit].
   */
  readonly bits: number;
  /** Time to walk there, open up and read [s]. */
  readonly seconds: number;
  /** What the order goes by [bit/s; 0 or more]. */
  readonly bitsPerSecond: number;
}

/** What to read next, or why to stop. */
export interface NextAdvice {
  /** The best few, most bits per second first; empty when it is time to stop. */
  readonly readings: readonly NextReading[];
  /** Devices that are worth unplugging for a reading, which goes into no sheet. */
  readonly unplug: readonly NextReading[];
  /** Null while there is something to take. */
  readonly stop: "all-settled" | "nothing-worth-taking" | null;
}

/** What a reading costs in time [s]. Common practice; a facility may measure its own. */
export interface ReadingTimes {
  /** For the reading itself [s]. */
  readonly reading: number;
  /** For each lane walked [s]. */
  readonly lane: number;
  /** To move a plug, or to unplug a device [s]. */
  readonly moving: number;
  /** Points that must be opened first, and how long that takes [s]. */
  readonly opening: Readonly<Record<string, number>>;
}

const { seconds: usual, openedPoints } = meetDefaults;

/** What is reckoned with where the pool file does not say; common practice. */
export const READING_TIMES: ReadingTimes = {
  reading: usual.reading,
  lane: usual.laneWalk,
  moving: usual.moving,
  opening: Object.fromEntries(openedPoints.map((point) => [point, usual.plateOpening])),
};

/** Less is not worth a reading [bit]. */
const LEAST_BITS = 0.01;
/** What is still in doubt at a point read so often is not the display's noise. */
const MOST_TIMES = 4;

/** A contact that comes and goes is moved so often at most. */
const MOST_MOVED = 2;

/**
 * The readings to take now: of circuits that nobody read, the last point; of those whose verdict is
 * "read again", the places that the verdict names, and the plug of a contact that may come and go; of
 * weak ones, the place between connectors that the readings cannot tell apart, for nobody can clean
 * what nobody has found. In order of the entropy of the verdict, or of where the fault lies, a bound on
 * what a reading can bring, for each second that the reading costs. Walking is counted from the lane
 * of the last reading of `readings`, in the order given. `start` as in `diagnose`.
 *
 * @param most How many to name [readings; whole, 1 or more].
 */
export function nextReadings(
  pool: Pool,
  readings: readonly Reading[],
  most = 5,
  times: ReadingTimes = READING_TIMES,
  start: Carried | null = null,
): NextAdvice {
  return nextOf(pool, readings, diagnose(pool, readings, false, start), most, times);
}

/**
 * The same where these readings are diagnosed already.
 *
 * @param most How many to name [readings; whole, 1 or more].
 */
export function nextOf(
  pool: Pool,
  readings: readonly Reading[],
  diagnosed: Diagnosed,
  most = 5,
  times: ReadingTimes = READING_TIMES,
): NextAdvice {
  const open = pool.circuits.flatMap((circuit) => wantedAt(pool, circuit, diagnosed));
  if (open.length === 0) return { readings: [], unplug: [], stop: "all-settled" };
  const last = readings.at(-1);
  const found = open
    .filter(({ bits, point, circuit, act }) => {
      const here = readings.filter((one) => one.point === point && sameCircuit(one, circuit));
      const moved = here.filter(({ state }) => state === "moved").length;
      return (
        bits >= LEAST_BITS && here.length < MOST_TIMES && (act !== "move" || moved < MOST_MOVED)
      );
    })
    .map(({ circuit, point, act, bits }): NextReading => {
      const seconds = secondsTo(pool, last, circuit.lane, point, act, times);
      return { ...circuitName(circuit), point, act, bits, seconds, bitsPerSecond: bits / seconds };
    })
    .sort((a, b) => b.bitsPerSecond - a.bitsPerSecond);
  const taken = found.filter(({ act }) => act !== "unplug").slice(0, most);
  const unplug = found.filter(({ act }) => act === "unplug").slice(0, most);
  const stop = taken.length > 0 ? null : "nothing-worth-taking";
  return { readings: taken, unplug, stop };
}

/** What the advice goes by. */
type Diagnosed = Pick<WalkDiagnosis, "circuits" | "connectors" | "contacts" | "readAgain">;

interface Wanted {
  readonly circuit: Circuit;
  readonly point: string;
  readonly act: Act;
  readonly bits: number;
}

function wantedAt(pool: Pool, circuit: Circuit, diagnosed: Diagnosed): readonly Wanted[] {
  const { circuits, readAgain } = diagnosed;
  const found = circuits.find((one) => sameCircuit(one, circuit));
  if (found === undefined) {
    const bits = entropyBits(faultBefore(pool, circuit));
    return [{ circuit, point: lastPoint(circuit), act: "read", bits }];
  }
  if (found.verdict === "weak") return toTellApart(circuit, diagnosed);
  if (found.verdict !== "read-again") return [];
  const bits = entropyBits(found.underLimit ?? 0.5);
  const again = readAgain
    .filter((one) => sameCircuit(one, circuit))
    .map(({ point, shown }): Wanted => {
      const doubt = entropyBits(shown === null ? 0 : Math.min(shown.doubt, 0.5));
      return { circuit, point, act: "read", bits: Math.max(bits, doubt) };
    });
  const contacts = diagnosed.contacts.filter((one) => sameCircuit(one, circuit));
  const loose = contacts.reduce((best, one) => (one.intermittent > best.intermittent ? one : best));
  const { badShareMoved } = pool.model;
  const moved = noticedBits(loose.intermittent, badShareMoved);
  const conducts = found.conducting
    .filter(({ kind }) => kind !== "wet")
    .reduce((sum, { probability }) => sum + probability, 0);
  return [
    ...again,
    { circuit, point: loose.point, act: "move", bits: moved },
    { circuit, point: lastPoint(circuit), act: "unplug", bits: noticedBits(conducts, 1) },
  ];
}

/**
 * Where suspects of a weak circuit are not told apart: the reading that would tell on which side of its
 * point the fault lies. One fault taken as given, that is the entropy of the side, for as much of it as
 * lies among these suspects at all. Of one circuit only the place that halves the suspects best: one
 * that is quicker to get at and tells less saves nothing, where the other is then to be read as well.
 */
function toTellApart(circuit: Circuit, { connectors, contacts }: Diagnosed): readonly Wanted[] {
  const along = (at: string): number => circuit.path.findIndex(({ point }) => point === at);
  const fault = (at: string): number =>
    1 - (contacts.find((one) => one.point === at && sameCircuit(one, circuit))?.sound ?? 1);
  return connectors
    .filter(({ worst }) => sameCircuit(worst, circuit))
    .flatMap(({ point, inseparableFrom, wouldSeparate }): readonly Wanted[] => {
      if (wouldSeparate === null) return [];
      const behind = (at: string): boolean => along(at) > along(wouldSeparate.point);
      const suspects = [point, ...inseparableFrom];
      const all = suspects.reduce((sum, at) => sum + fault(at), 0);
      const far = suspects.filter(behind).reduce((sum, at) => sum + fault(at), 0);
      const bits = Math.min(1, all) * entropyBits(far / all);
      return [{ circuit, point: wouldSeparate.point, act: "read", bits }];
    })
    .filter(({ bits }) => bits >= LEAST_BITS)
    .toSorted((a, b) => b.bits - a.bits)
    .slice(0, 1);
}

/**
 * What one look tells of a thing of probability p that shows with chance s if it is there and never
 * else: the mutual information H(p s) - p H(s) [bit] (Cover and Thomas, section 2.3, from memory).
 */
const noticedBits = (p: number, s: number): number => entropyBits(p * s) - p * entropyBits(s);

/** P(any contact of the circuit is faulty) before any reading, connectors taken one by one. */
function faultBefore({ model }: Pool, { path }: Circuit): number {
  const sound = path.reduce((product, { connector: { priors } }) => {
    const [clean, dirty] = stateChances(priors, model.openPerFouled);
    const { contaminated } = priors;
    return product * ((1 - contaminated) * clean.sound + contaminated * dirty.sound);
  }, 1);
  return 1 - sound;
}

/** Entropy of a yes or no [bit]. */
const entropyBits = (p: number): number =>
  p <= 0 || p >= 1 ? 0 : -(p * Math.log2(p) + (1 - p) * Math.log2(1 - p));

function secondsTo(
  pool: Pool,
  last: Reading | undefined,
  lane: Lane | null,
  point: string,
  act: Act,
  times: ReadingTimes,
): number {
  const along = (at: { readonly lane: Lane | null }): number => lanesAlong(pool.lanes, at);
  const walked = last === undefined ? 0 : Math.abs(along({ lane }) - along(last)) * times.lane;
  const there = last !== undefined && sameLane(last, { lane }) && last.point === point;
  const moving = act === "read" ? 0 : times.moving;
  return times.reading + walked + moving + (there ? 0 : (times.opening[point] ?? 0));
}
