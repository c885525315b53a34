import type { ReadingInference } from "../../inference/circuit-sums.ts";
import type { WalkProblem } from "../../inference/problem.ts";
import { type Oddness, oddnessOf } from "./oddness.ts";

/** How well the model fits a walk, by the numbers of its circuits and readings. */
export interface WalkFit {
  readonly p: number;
  /** Of each circuit, its own readings alone, and the number of the oddest of them. */
  readonly circuits: readonly { readonly p: number; readonly oddest: number }[];
  /** The oddest readings, the oddest first; what to take again where the walk does not fit. */
  readonly worst: readonly number[];
}

/** So many readings are named at most. */
const MOST_WORST = 6;
/** A single value is named where one of the walk is as odd with this chance, or as the oddest. */
const NAMED = 0.05;

/** The walk's fit, from what its readings let expect of each other. */
export function walkFit(
  { circuits }: WalkProblem,
  readings: ReadonlyMap<number, ReadingInference>,
): WalkFit {
  const numbers = [...readings.keys()].sort((a, b) => a - b);
  const whole = oddnessOf(numbers.map((number) => readings.get(number)!.expected));
  return {
    p: whole.p,
    circuits: circuits.map((circuit) => {
      const own = circuit.readings.flat().map(({ index }) => index);
      own.sort((a, b) => a - b);
      const { p, single } = oddnessOf(own.map((number) => readings.get(number)!.expected));
      return { p, oddest: own[single.indexOf(Math.min(...single))] ?? -1 };
    }),
    worst: worstOf(numbers, whole),
  };
}

/** Single odd values; of a run the readings around the place where the level changes. */
function worstOf(numbers: readonly number[], { single, z, by }: Oddness): readonly number[] {
  const falling = numbers.map((number, i) => ({ number, p: single[i]! }));
  falling.sort((a, b) => a.p - b.p);
  const odd = falling.filter(({ p }, i) => i === 0 || p < NAMED / numbers.length);
  const named = odd.slice(0, MOST_WORST).map(({ number }) => number);
  if (by === "single") return named;
  const mean = z.reduce((sum, x) => sum + x, 0) / z.length;
  let cumulated = 0;
  const sums = z.map((x) => {
    cumulated += x - mean;
    return Math.abs(cumulated);
  });
  const at = sums.indexOf(Math.max(...sums));
  return [...new Set([...numbers.slice(at, at + 2), ...named])].slice(0, MOST_WORST);
}
