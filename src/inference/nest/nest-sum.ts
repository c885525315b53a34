import type { Nest, Room } from "./nest.ts";

/** P(one circuit's readings | configuration) = values * exp(logScale). */
export interface CircuitLikelihood {
  readonly logScale: number;
  readonly values: Float64Array;
}

/**
 * The sum over all bodies' states of P(states) times the product of the circuits' likelihoods,
 * room by room from the inside out (variable elimination along a tree: Koller and Friedman 2009,
 * chapters 9 and 10): its cost grows with the number of circuits.
 */
export interface NestSum {
  readonly logLikelihood: number;
  /** By circuit: P(configuration | all readings); sums to 1. */
  readonly posterior: readonly Float64Array[];
  /**
   * P(what `values` restricts each circuit of this body to | all readings): `values` is the
   * circuit's likelihood with one more thing true, on its own scale.
   */
  readonly chance: (body: number, values: (circuit: number) => Float64Array) => number;
}

/** The sum alone. */
export const logSumNest = (nest: Nest, circuits: readonly CircuitLikelihood[]): number =>
  inwards(nest, circuits).logLikelihood;

function inwards(nest: Nest, circuits: readonly CircuitLikelihood[]) {
  const valuesOf = (circuit: number): Float64Array => circuits[circuit]!.values;
  let logLikelihood = circuits.reduce((sum, { logScale }) => sum + logScale, 0);
  const passes = nest.rooms.map((room) => inward(room, valuesOf));
  for (const pass of passes) logLikelihood += pass.logScale + Math.log(pass.values[0]!);
  for (const circuit of nest.loose) logLikelihood += Math.log(valuesOf(circuit)[0]!);
  return { logLikelihood, passes, valuesOf };
}

export function sumNest(nest: Nest, circuits: readonly CircuitLikelihood[]): NestSum {
  const { logLikelihood, passes, valuesOf } = inwards(nest, circuits);
  const posterior = circuits.map(({ values }) => new Float64Array(values.length));
  for (const circuit of nest.loose) posterior[circuit]![0] = 1;
  const weights = new Map<Pass, Float64Array>();
  for (const pass of passes) {
    outward(pass, Float64Array.of(1 / pass.values[0]!), valuesOf, posterior, weights);
  }
  const chance: NestSum["chance"] = (body, values) => {
    const pass = [...weights.keys()].find(({ room }) => room.bodies.includes(body));
    if (pass === undefined) throw new Error(`no circuit was read behind body ${body}`);
    const restricted = inward(pass.room, values);
    const scale = Math.exp(restricted.logScale - pass.logScale);
    const weight = weights.get(pass)!;
    return restricted.values.reduce((sum, value, state) => sum + value * scale * weight[state]!, 0);
  };
  return { logLikelihood, posterior, chance };
}

/** One room summed over its own bodies, for each state of the bodies around it. */
interface Pass {
  readonly room: Room;
  readonly values: Float64Array;
  readonly logScale: number;
  /** Product of everything in the room, by state of the bodies around it and its own. */
  readonly inside: Float64Array;
  readonly passes: readonly Pass[];
}

function inward(room: Room, valuesOf: (circuit: number) => Float64Array): Pass {
  const around = 1 << room.bitsAround;
  const own = room.chances.length;
  const passes = room.rooms.map((inner) => inward(inner, valuesOf));
  const inside = new Float64Array(around * own).fill(1);
  let logScale = passes.reduce((sum, pass) => sum + pass.logScale, 0);
  for (const { values } of passes) for (let s = 0; s < inside.length; s++) inside[s]! *= values[s]!;
  for (const { circuit, configuration } of room.circuits) {
    const values = valuesOf(circuit);
    let most = 0;
    for (let s = 0; s < inside.length; s++) {
      inside[s]! *= values[configuration[s]!]!;
      if (inside[s]! > most) most = inside[s]!;
    }
    if (!(most > 0)) continue;
    for (let s = 0; s < inside.length; s++) inside[s]! /= most;
    logScale += Math.log(most);
  }
  const values = new Float64Array(around);
  for (let s = 0; s < inside.length; s++) {
    values[s & (around - 1)]! += room.chances[s >> room.bitsAround]! * inside[s]!;
  }
  return { room, values, logScale, inside, passes };
}

/**
 * Carries weights to the innermost rooms: `weight` times the pass's value is the probability of
 * the state around the room.
 */
function outward(
  pass: Pass,
  weight: Float64Array,
  valuesOf: (circuit: number) => Float64Array,
  posterior: readonly Float64Array[],
  weights: Map<Pass, Float64Array>,
): void {
  weights.set(pass, weight);
  const { room, inside, passes } = pass;
  const around = 1 << room.bitsAround;
  const states = inside.map(
    (value, s) => value * room.chances[s >> room.bitsAround]! * weight[s & (around - 1)]!,
  );
  for (const { circuit, configuration } of room.circuits) {
    const own = posterior[circuit]!;
    for (let s = 0; s < states.length; s++) own[configuration[s]!]! += states[s]!;
  }
  for (const inner of passes) {
    const inward = states.map((p, s) => (inner.values[s]! > 0 ? p / inner.values[s]! : 0));
    outward(inner, inward, valuesOf, posterior, weights);
  }
}
