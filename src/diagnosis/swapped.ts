import type { Explanation } from "../domain/findings.ts";
import type { ChainPool } from "./chain-pool.ts";
import { type CircuitModel, type CircuitReading, circuitMessages } from "./circuit-model.ts";
import type { CircuitNode } from "./circuit-posterior.ts";
import type { ReadCircuit, WeighedReading } from "./walk-model.ts";

/** P(a circuit has two points' readings in each other's row, or two leads crossed). */
const SWAPPED = 0.01;
/** How far readings must rise along the chain to raise the question, in noise of a difference. */
const RISES = 3;

/** Two places of one circuit whose readings may have changed places. */
interface Swap {
  readonly first: number;
  readonly second: number;
}

/**
 * Whether two readings of a circuit stand in each other's place. Resistance only adds up, so volts
 * can only fall along the chain: a rise beyond the noise raises the question. Each swap that leaves
 * fewer of them is a hypothesis of its own; its evidence is the circuit's likelihood with the two points' readings
 * exchanged, all else as it was, against the likelihood as written.
 */
export function swappedPoints(
  pool: ChainPool,
  model: CircuitModel,
  circuit: ReadCircuit,
  nodes: readonly CircuitNode[],
): readonly Explanation[] {
  const { readings, lane, device } = circuit;
  const rising = risesIn(readings);
  if (rising === 0) return [];
  const possible = possibleSwaps(readings);
  const swaps = possible.filter(
    (swap) =>
      risesIn(
        readings.with(swap.first, readings[swap.second]!).with(swap.second, readings[swap.first]!),
      ) < rising,
  );
  const factors = swaps.map((swap) => bayesFactor(model, exchanged(readings, swap), nodes));
  const prior = SWAPPED / possible.length;
  const total = factors.reduce((sum, factor) => sum + prior * factor, 1 - SWAPPED);
  return swaps.flatMap((swap, n): Explanation[] => {
    const factor = factors[n]!;
    const [first, second] = [pool.chain[swap.first]!.point, pool.chain[swap.second]!.point];
    const rise = `the ${second} reads more than the ${first}, which series resistance cannot do`;
    return [
      {
        kind: "swapped",
        lane,
        device,
        end: null,
        probability: (prior * factor) / total,
        logBayesFactor: Math.log(factor),
        words: `lane ${lane} ${device}: the readings of ${first} and ${second} may have changed places: ${rise}.`,
        wouldTell: `read lane ${lane} ${device} at the ${first} again.`,
      },
    ];
  });
}

function possibleSwaps(readings: readonly (readonly WeighedReading[])[]): readonly Swap[] {
  const read = readings.flatMap((here, i) => (here.length > 0 ? [i] : []));
  return read.flatMap((first) =>
    read.filter((second) => second > first).map((second) => ({ first, second })),
  );
}

/** How many pairs of points rise along the chain. */
const risesIn = (readings: readonly (readonly WeighedReading[])[]): number =>
  possibleSwaps(readings).filter(({ first, second }) => rises(readings[first]!, readings[second]!))
    .length;

function rises(first: readonly WeighedReading[], second: readonly WeighedReading[]): boolean {
  return first.some((a) =>
    second.some(
      (b) =>
        b.display.shown - a.display.shown >
        RISES * Math.hypot(a.display.noise, b.display.noise) + a.display.halfStep,
    ),
  );
}

/** The readings with two points' values exchanged: each was taken at the other's place. */
function exchanged(
  readings: readonly (readonly WeighedReading[])[],
  { first, second }: Swap,
): readonly (readonly CircuitReading[])[] {
  const at = (from: number, to: number): readonly CircuitReading[] => {
    const place = readings[to]![0]!;
    const wire = place.loopOhms - place.loadOhms;
    return readings[from]!.map(({ loadOhms, display }) => ({
      link: to,
      loadOhms,
      loopOhms: loadOhms + wire,
      display,
    }));
  };
  return readings.map((here, i) =>
    i === first ? at(second, first) : i === second ? at(first, second) : here,
  );
}

/**
 * P(the circuit's readings | rival, the walk's other readings) over the same as written: the
 * posterior mean, over EMF and bodies, of the ratio of the two likelihoods.
 */
export function bayesFactor(
  model: CircuitModel,
  readings: readonly (readonly CircuitReading[])[],
  nodes: readonly CircuitNode[],
): number {
  let factor = 0;
  for (const { weight, messages, bodies } of nodes) {
    const rival = circuitMessages({ ...model, readings }, messages.emf);
    const scale = Math.exp(rival.logScale - messages.logScale);
    for (const [c, posterior] of bodies.entries()) {
      const ratio = (rival.likelihood[c]! / messages.likelihood[c]!) * scale;
      if (posterior > 0) factor += weight * posterior * ratio;
    }
  }
  return factor;
}
