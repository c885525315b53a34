import { addPinned, nothingPinned } from "../../inference/chain/pinned-states.ts";
import type { CircuitInference, ReadingInference } from "../../inference/circuit-sums.ts";
import type { WalkInference } from "../../inference/infer.ts";
import type { WalkPosterior } from "../../inference/posterior.ts";

/** What a walk says under one way in which it may have come about, with that way's probability. */
export interface Weighed {
  readonly found: WalkInference;
  readonly probability: number;
}

/**
 * The findings averaged over several ways: probabilities and expected volts exactly, by the law of
 * total probability; quantiles (of resistances and of shared numbers) are those of the likeliest way.
 */
export function averaged(ways: readonly Weighed[]): WalkInference {
  const likeliest = ways.reduce((a, b) => (b.probability > a.probability ? b : a)).found;
  const mean = (of: (found: WalkInference) => number): number =>
    ways.reduce((sum, { found, probability }) => sum + probability * of(found), 0);
  return {
    ...likeliest,
    circuits: likeliest.circuits.map((circuit, c) => averagedCircuit(ways, circuit, c)),
    bodyAtFault: averagedMap(likeliest.bodyAtFault, (body) =>
      mean((found) => found.bodyAtFault.get(body)!),
    ),
    readings: averagedMap(likeliest.readings, (number): ReadingInference => {
      const own = (pick: (reading: ReadingInference) => number): number =>
        mean((found) => pick(found.readings.get(number)!));
      return {
        misread: own((reading) => reading.misread),
        off: own((reading) => reading.off),
        badMoment: own((reading) => reading.badMoment),
        expected: {
          below: own(({ expected }) => expected.below),
          same: own(({ expected }) => expected.same),
        },
      };
    }),
  };
}

function averagedCircuit(
  ways: readonly Weighed[],
  likeliest: CircuitInference,
  c: number,
): WalkPosterior["circuits"][number] {
  const mean = (of: (circuit: CircuitInference) => number): number =>
    ways.reduce((sum, { found, probability }) => sum + probability * of(found.circuits[c]!), 0);
  return {
    ...likeliest,
    states: likeliest.states.map((states, k) =>
      states.map((_, s) => mean((circuit) => circuit.states[k]![s]!)),
    ),
    // Each way's sums are over its own evidence: their mean is weighed as the ways are.
    pinned: ways.reduce(
      (sum, { found, probability }) => addPinned(sum, found.circuits[c]!.pinned, probability),
      nothingPinned(likeliest.states.length),
    ),
    voltsLost: likeliest.voltsLost.map((_, k) => mean((circuit) => circuit.voltsLost[k]!)),
    conducting: likeliest.conducting.map((_, k) => mean((circuit) => circuit.conducting[k]!)),
    underLimit: likeliest.underLimit === null ? null : mean((circuit) => circuit.underLimit ?? 0),
  };
}

const averagedMap = <Value>(
  keys: ReadonlyMap<number, unknown>,
  of: (key: number) => Value,
): ReadonlyMap<number, Value> => new Map([...keys.keys()].map((key) => [key, of(key)] as const));
