import { type Circuit, lastPoint } from "../domain/circuit.ts";
import type { CircuitFinding, PlaceToRead } from "../domain/findings.ts";
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
import { diagnose } from "./diagnose.ts";
import { stateChances } from "./state-chances.ts";

/** A reading that could be taken next, and what it is worth. */
export interface NextReading extends CircuitName {
  readonly point: string;
  /** What is not known yet of its circuit's verdict: the most that a reading can bring [bit]. */
  readonly bits: number;
  /** Time to walk there, open up and read [s]. */
  readonly seconds: number;
  readonly bitsPerSecond: number;
}

/** What to read next, or why to stop. */
export interface NextAdvice {
  /** The best few, most bits per second first; empty when it is time to stop. */
  readonly readings: readonly NextReading[];
  /** Null while there is something to take. */
  readonly stop: "all-settled" | "nothing-worth-taking" | null;
}

/** What a reading costs in time [s]. Common practice; a facility may measure its own. */
export interface ReadingTimes {
  readonly reading: number;
  /** For each lane walked. */
  readonly lane: number;
  /** Points that must be opened first, and how long that takes. */
  readonly opening: Readonly<Record<string, number>>;
}

const { seconds: usual, openedPoints } = meetDefaults;

export const READING_TIMES: ReadingTimes = {
  reading: usual.reading,
  lane: usual.laneWalk,
  opening: Object.fromEntries(openedPoints.map((point) => [point, usual.plateOpening])),
};

/** Less is not worth a reading [bit]. */
const LEAST_BITS = 0.01;
/** What is still in doubt at a point read so often is not the display's noise. */
const MOST_TIMES = 4;

/**
 * The readings to take now: of circuits that nobody read, the last point; of those whose verdict is
 * "read again", the places that the verdict names. In order of the entropy of the verdict, a bound on
 * what a reading can bring, for each second that the reading costs. Walking is counted from the lane
 * of the last reading of `readings`, in the order given.
 */
export function nextReadings(
  pool: Pool,
  readings: readonly Reading[],
  most = 5,
  times: ReadingTimes = READING_TIMES,
): NextAdvice {
  const { circuits, readAgain } = diagnose(pool, readings, false);
  const open = pool.circuits.flatMap((circuit) => wantedAt(circuit, circuits, readAgain, pool));
  if (open.length === 0) return { readings: [], stop: "all-settled" };
  const last = readings.at(-1);
  const found = open
    .filter(({ bits, point, circuit }) => {
      const here = readings.filter((one) => one.point === point && sameCircuit(one, circuit));
      return bits >= LEAST_BITS && here.length < MOST_TIMES;
    })
    .map(({ circuit, point, bits }): NextReading => {
      const seconds = secondsTo(pool, last, circuit.lane, point, times);
      return { ...circuitName(circuit), point, bits, seconds, bitsPerSecond: bits / seconds };
    })
    .sort((a, b) => b.bitsPerSecond - a.bitsPerSecond)
    .slice(0, most);
  return { readings: found, stop: found.length > 0 ? null : "nothing-worth-taking" };
}

interface Wanted {
  readonly circuit: Circuit;
  readonly point: string;
  readonly bits: number;
}

function wantedAt(
  circuit: Circuit,
  circuits: readonly CircuitFinding[],
  readAgain: readonly PlaceToRead[],
  pool: Pool,
): readonly Wanted[] {
  const found = circuits.find((one) => sameCircuit(one, circuit));
  if (found === undefined) {
    return [{ circuit, point: lastPoint(circuit), bits: entropyBits(faultBefore(pool, circuit)) }];
  }
  if (found.verdict !== "read-again") return [];
  const bits = entropyBits(found.underLimit ?? 0.5);
  return readAgain
    .filter((one) => sameCircuit(one, circuit))
    .map(({ point, shown }) => {
      const doubt = entropyBits(shown === null ? 0 : Math.min(shown.doubt, 0.5));
      return { circuit, point, bits: Math.max(bits, doubt) };
    });
}

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
  times: ReadingTimes,
): number {
  const along = (at: { readonly lane: Lane | null }): number => lanesAlong(pool.lanes, at);
  const walked = last === undefined ? 0 : Math.abs(along({ lane }) - along(last)) * times.lane;
  const there = last !== undefined && sameLane(last, { lane }) && last.point === point;
  return times.reading + walked + (there ? 0 : (times.opening[point] ?? 0));
}
