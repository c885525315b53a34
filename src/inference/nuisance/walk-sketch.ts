import type { Nuisance } from "../chain/point-likelihoods.ts";
import type { Nest } from "../nest/nest.ts";
import { type CircuitLikelihood, logSumNest } from "../nest/nest-sum.ts";
import type { CircuitProblem, StateChances, WalkProblem } from "../problem.ts";
import { conductingPart, type Sketch, type SketchFactors, sketchFactors } from "./sketch.ts";

/**
 * ln P(a walk's readings | its shared numbers), near enough to say where to look: the sketches of its
 * circuits, summed over the states of the bodies that they share. Five circuits that show a little
 * less behind one outlet may all have fouled with it, which no circuit says by itself.
 */
export interface WalkSketch {
  readonly at: Sketch;
  /** By circuit and configuration of its bodies: what `sum` then sums. */
  readonly circuits: (nuisance: Nuisance) => readonly CircuitLikelihood[];
  readonly sum: (circuits: readonly CircuitLikelihood[]) => number;
}

export function walkSketch(walk: WalkProblem, nest: Nest): WalkSketch {
  const sketches = walk.circuits.map((circuit) => {
    const conducts = conductingPart(walk, circuit);
    const factorsAt = sketchFactors(walk, circuit);
    const sum = byConfiguration(circuit);
    return (nuisance: Nuisance): CircuitLikelihood => {
      const values = sum(factorsAt(nuisance), conducts(nuisance) + Number.MIN_VALUE);
      return { logScale: 0, values };
    };
  });
  const circuits: WalkSketch["circuits"] = (nuisance) => sketches.map((own) => own(nuisance));
  const sum: WalkSketch["sum"] = (likelihoods) => logSumNest(nest, likelihoods);
  /** By circuit, ln of the most that it came to where all were asked; null before. */
  let most: readonly number[] | null = null;
  const at: Sketch = (nuisance, least = Number.NEGATIVE_INFINITY) => {
    // Of circuits that are not asked yet, as much as ever and more.
    let bound = most?.reduce((total, one) => total + one + MORE, 0) ?? Number.POSITIVE_INFINITY;
    const found: CircuitLikelihood[] = [];
    const logs: number[] = [];
    for (const [c, own] of sketches.entries()) {
      const one = own(nuisance);
      const log = Math.log(mostOf(one.values));
      found.push(one);
      logs.push(log);
      bound += log - (most?.[c] ?? 0) - MORE;
      if (bound < least) return Number.NEGATIVE_INFINITY;
    }
    most = most?.map((before, c) => Math.max(before, logs[c]!)) ?? logs;
    return sum(found);
  };
  return { at, circuits, sum };
}

function mostOf(values: Float64Array): number {
  let most = 0;
  for (let k = 0; k < values.length; k++) if (values[k]! > most) most = values[k]!;
  return most;
}

/** A circuit may be likelier at a place than ever before by so much, in ln. */
const MORE = 3;

/**
 * The likelihood of a circuit's readings by the states of its bodies, the first link's lowest, `more`
 * added to each: from the last link inwards, that of what lies behind while all before it is sound.
 */
function byConfiguration({
  links,
}: CircuitProblem): (factors: SketchFactors, more: number) => Float64Array {
  const states = links.map(({ body, states: own }) =>
    (body === null ? [own[0]] : own).map(chancesOf),
  );
  const count = states.reduce((product, { length }) => product * length, 1);
  return ({ sound, fouled, open }, more) => {
    const values = new Float64Array(count);
    values[0] = 1;
    let size = 1;
    for (let i = links.length - 1; i >= 0; i--) {
      const own = states[i]!;
      const per = own.length;
      // In place, from the last on.
      for (let k = size - 1; k >= 0; k--) {
        const rest = sound[i]! * values[k]!;
        for (let state = per - 1; state >= 0; state--) {
          const chance = own[state]!;
          values[per * k + state] =
            chance.fouled * fouled[i]! + chance.open * open[i]! + chance.sound * rest;
        }
      }
      size *= per;
    }
    for (let k = 0; k < count; k++) values[k]! += more;
    return values;
  };
}

function chancesOf({ fouled, open, cable }: StateChances) {
  const mayOpen = open + cable;
  return { fouled, open: mayOpen, sound: 1 - fouled - mayOpen };
}
