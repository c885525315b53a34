import type { CircuitName, Lane } from "../domain/place.ts";
import { UNIT_LOAD } from "../domain/pool.ts";
import type { ChainPool, PartReading } from "./chain-pool.ts";
import type { CircuitModel } from "./circuit-model.ts";
import { type CircuitNode, circuitPosterior } from "./circuit-posterior.ts";
import { expectedBits, type NextMeter } from "./expected-bits.ts";
import { circuitNodes, solve } from "./solve.ts";
import { type ReadCircuit, readWalk } from "./walk-model.ts";

/** A reading that could be taken next, and what it is worth. */
export interface NextReading extends CircuitName {
  readonly point: string;
  /** Expected information about which contacts of its circuit are faulty [bit]. */
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

export const READING_TIMES: ReadingTimes = { reading: 8, lane: 6, opening: { plate: 15 } };

/** A contact is settled when its probability of being faulty is outside these. */
const SETTLED = { low: 0.05, high: 0.95 };
/** A reading that brings less is not worth taking [bit]: at a new point, and where one was read. */
const LEAST_BITS = { first: 0.05, again: 0.5 };
/**
 * A point read so often is not proposed again: what is still unsure then is not the noise of the
 * display, which is all that another reading would even out.
 */
const MOST_TIMES = 3;

/**
 * The best readings to take now, at any point of any circuit, again or for the first time, by
 * expected bits per second. Walking is counted from the lane of the last reading of `readings`, in
 * the order given; a point that must be opened costs nothing more where the last reading was.
 *
 * A point that was read is proposed again only where that brings half a bit, as after a value that
 * may be wrong: evening out the display's noise seldom tells one connector from another. One that was
 * read three times is not proposed at all.
 *
 * Exact for the information about the circuit's own contacts; what a reading also says about its
 * neighbours, through a body or the EMF, comes on top and is not counted.
 */
export function nextInChain(
  pool: ChainPool,
  readings: readonly PartReading[],
  most = 5,
  times: ReadingTimes = READING_TIMES,
  from: Lane | null = readings.at(-1)?.lane ?? null,
): NextAdvice {
  const walk = readWalk(pool, readings, true);
  const { lanes, emf } = solve(walk, true);
  const known = new Map<string, readonly number[]>();
  const circuits = walk.lanes.flatMap((lane, l) =>
    lane.circuits.map((circuit, c): OpenCircuit => {
      const nodes = circuitNodes(emf, l, c);
      const model = lanes[l]!.circuits[c]!;
      const seconds = pool.chain.map(({ point }) =>
        secondsTo(pool, from, readings.at(-1), lane.lane, point, times),
      );
      const key = signature(circuit, nodes);
      const faults = known.get(key) ?? faultProbabilities(model, nodes);
      known.set(key, faults);
      const settled = faults.every((fault) => fault < SETTLED.low || fault > SETTLED.high);
      return { circuit, model, nodes, key, seconds, faults, settled };
    }),
  );
  // A settled circuit needs no reading, whatever one would still bring.
  const unsettled = circuits.filter(({ settled }) => !settled);
  if (unsettled.length === 0) return { readings: [], stop: "all-settled" };
  const found = bestOf(pool, unsettled, most);
  return { readings: found, stop: found.length > 0 ? null : "nothing-worth-taking" };
}

/** A circuit at which a reading could be taken. */
interface OpenCircuit {
  readonly circuit: ReadCircuit;
  readonly model: CircuitModel;
  readonly nodes: readonly CircuitNode[];
  /** Its signature. */
  readonly key: string;
  /** Time to take a reading, by link [s]. */
  readonly seconds: readonly number[];
  /** P(faulty), by link. */
  readonly faults: readonly number[];
  readonly settled: boolean;
}

/**
 * The best few of all circuits. A reading cannot bring more than what is unknown, so a circuit
 * whose contacts' entropies cannot reach what has been found is not worked out.
 */
function bestOf(pool: ChainPool, circuits: readonly OpenCircuit[], most: number): NextReading[] {
  const meter = nextMeter(pool);
  const known = new Map<string, readonly number[]>();
  let best: NextReading[] = [];
  const promising = circuits
    .map((open) => {
      const unknown = open.faults.reduce((sum, fault) => sum + entropyBits(fault), 0);
      return { open, unknown, promise: unknown / Math.min(...open.seconds) };
    })
    .sort((a, b) => b.promise - a.promise);
  for (const { open, unknown, promise } of promising) {
    if (unknown < LEAST_BITS.first) continue;
    if (best.length === most && promise < best.at(-1)!.bitsPerSecond) break;
    const { circuit, model, nodes, key } = open;
    const bits = known.get(key) ?? expectedBits(model, nodes, meter);
    known.set(key, bits);
    const { lane, device } = circuit;
    const worth = bits.flatMap((value, i): NextReading[] => {
      const times = circuit.readings[i]!.length;
      const least = times === 0 ? LEAST_BITS.first : LEAST_BITS.again;
      if (value < least || times >= MOST_TIMES) return [];
      const seconds = open.seconds[i]!;
      const { point } = pool.chain[i]!;
      return [
        { lane, device, end: null, point, bits: value, seconds, bitsPerSecond: value / seconds },
      ];
    });
    best = [...best, ...worth].sort((a, b) => b.bitsPerSecond - a.bitsPerSecond).slice(0, most);
  }
  return best;
}

/** Entropy of a yes or no [bit]. */
const entropyBits = (p: number): number =>
  p <= 0 || p >= 1 ? 0 : -(p * Math.log2(p) + (1 - p) * Math.log2(1 - p));

/** The meter that the next reading is taken with: the pool file's first. */
export function nextMeter(pool: ChainPool): NextMeter {
  const { loadOhms, noise } = pool.meters[0]!;
  const load = loadOhms ?? UNIT_LOAD;
  let loop = load + pool.supply.sourceOhms;
  const loopOhms = pool.chain.map(({ wireOhms }) => {
    loop += wireOhms;
    return loop;
  });
  return { loadOhms: load, loopOhms, noise, misread: pool.misread, span: 1.1 * pool.supply.emf };
}

/** P(faulty) of every contact of a circuit, by link. */
function faultProbabilities(model: CircuitModel, nodes: readonly CircuitNode[]): readonly number[] {
  const faults: number[] = [];
  const keep = (_: number, { states }: { states: { fouled: number; open: number } }): void => {
    faults.push(states.fouled + states.open);
  };
  circuitPosterior(model, nodes, keep, false);
  return faults;
}

/** Circuits with the same readings and the same bodies have the same answer. */
function signature(circuit: ReadCircuit, nodes: readonly CircuitNode[]): string {
  const shown = circuit.readings.map((readings) =>
    readings.map(({ display, loadOhms }) => [display, loadOhms]),
  );
  return JSON.stringify([shown, nodes.map(({ bodies }) => Array.from(bodies))]);
}

function secondsTo(
  pool: ChainPool,
  from: Lane | null,
  last: PartReading | undefined,
  lane: Lane,
  point: string,
  times: ReadingTimes,
): number {
  const start = from === null ? 0 : Math.max(0, pool.lanes.indexOf(from));
  const walked = Math.abs(pool.lanes.indexOf(lane) - start) * times.lane;
  const there = last !== undefined && last.lane === lane && last.point === point;
  return times.reading + walked + (there ? 0 : (times.opening[point] ?? 0));
}
