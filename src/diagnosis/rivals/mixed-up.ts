import type { Nuisance } from "../../inference/chain/point-likelihoods.ts";
import { likelihoodAt } from "../../inference/chain/reading-likelihood.ts";
import { circuitSketch } from "../../inference/nuisance/sketch.ts";
import type { CircuitProblem, WalkProblem } from "../../inference/problem.ts";
import type { Rival } from "./rival.ts";

/**
 * Values that do not belong where they stand: two points of a circuit swapped in the sheet, two
 * circuits' rows swapped, two circuits crossed behind a link. Each kind has a chance of 0.005 a walk,
 * divided evenly among all pairs that it could concern; of each kind the pair that the sketch likes
 * best is worth an exact run.
 */
const PRIOR = 0.005;

type Rows = CircuitProblem["readings"];

/** One pair, and the circuits as they are if it was mixed up. */
interface Pair {
  readonly circuit: number;
  readonly link: number | null;
  readonly other: number | null;
  readonly changed: readonly (readonly [circuit: number, readings: Rows])[];
}

export function mixedUp(walk: WalkProblem, nuisance: Nuisance): readonly Rival[] {
  const scores = walk.circuits.map((circuit) => circuitSketch(walk, circuit)(nuisance));
  const most = walk.circuits.map((circuit) => mostOf(circuit, nuisance.noiseScale));
  return (
    [
      ["points-swapped", swappedPoints(walk)],
      ["rows-swapped", exchanged(walk, () => [0])],
      ["crossed", exchanged(walk, ({ links }) => Array.from(links.keys()).slice(1))],
    ] as const
  ).flatMap(([kind, pairs]): Rival[] => {
    const logOdds = Math.log(PRIOR / pairs.length);
    const hopeful = pairs.filter(({ changed }) => {
      const gain = changed.reduce((sum, [c]) => sum + most[c]! - scores[c]!, 0);
      return gain + logOdds > HOPELESS;
    });
    const ratios = hopeful.map(({ changed }) =>
      changed.reduce((sum, [c, readings]) => {
        const other = circuitSketch(walk, { ...walk.circuits[c]!, readings });
        return sum + other(nuisance) - scores[c]!;
      }, 0),
    );
    if (hopeful.length === 0) return [];
    const best = ratios.indexOf(Math.max(...ratios));
    const { circuit, link, other, changed } = hopeful[best]!;
    const circuits = [...walk.circuits];
    for (const [c, readings] of changed) circuits[c] = { ...circuits[c]!, readings };
    return [
      {
        kind,
        problem: { ...walk, circuits },
        logOdds,
        logSpread: 0,
        logRatio: ratios[best]!,
        ...{ circuit, link, other },
      },
    ];
  });
}

/** A pair that could not come to more than this, in ln of the odds, is not looked at. */
const HOPELESS = -6;

/** ln of the likelihood of a circuit's readings if each stood where it is likeliest. */
const mostOf = ({ readings }: CircuitProblem, scale: number): number =>
  readings.flat().reduce((sum, one) => sum + Math.log(likelihoodAt(one, one.shown, scale)), 0);

function swappedPoints({ circuits }: WalkProblem): readonly Pair[] {
  return circuits.flatMap(({ readings }, c) => {
    const read = readings.flatMap((row, k) => (row.length > 0 ? [k] : []));
    return read.flatMap((k, i) =>
      read.slice(i + 1).map((m): Pair => {
        const rows = readings.with(k, readings[m]!).with(m, readings[k]!);
        return { circuit: c, link: k, other: m, changed: [[c, rows]] };
      }),
    );
  });
}

/** Two circuits of one length and supply whose readings from a link on are each other's. */
function exchanged(
  { circuits }: WalkProblem,
  from: (circuit: CircuitProblem) => readonly number[],
): readonly Pair[] {
  return circuits.flatMap((a, c) =>
    circuits.slice(c + 1).flatMap((b, i) => {
      if (a.links.length !== b.links.length || a.supply !== b.supply) return [];
      return from(a).map((link): Pair => {
        const [ofA, ofB] = [
          [...a.readings.slice(0, link), ...b.readings.slice(link)],
          [...b.readings.slice(0, link), ...a.readings.slice(link)],
        ];
        const d = c + 1 + i;
        const changed = [
          [c, ofA],
          [d, ofB],
        ] as const;
        return { circuit: c, link: link === 0 ? null : link, other: d, changed };
      });
    }),
  );
}
