import type { Nuisance } from "../chain/point-likelihoods.ts";
import { type Alike, alikeIn } from "../conducting/alike.ts";
import { loopSketch } from "../conducting/loop-sketch.ts";
import type { CircuitProblem, StateChances, WalkProblem } from "../problem.ts";
import { offOneByOne } from "../zero-runs.ts";
import { hasLoops, looksSound, marginalFaults, sketchParts, totalOf } from "./sketch.ts";
import type { WalkSketch } from "./walk-sketch.ts";

/**
 * What circuits that conduct say of the source resistance. A meter's load is so much larger than
 * most sources that a path without a loop hardly tells one from another; a switch that is stuck
 * closed tells them to the ohm, or says that the contact at the timer has fouled instead.
 *
 * @param nuisances The shared numbers at several sources, to see by which circuits conduct.
 * @returns ln of what these circuits' readings are likelier by than a sketch without loops says;
 *   null where no circuit looks as if it conducted, or the sketches have it already.
 */
export function sourceLoops(
  walk: WalkProblem,
  sketch: WalkSketch,
  nuisances: readonly Nuisance[],
): ((nuisance: Nuisance) => number) | null {
  if (hasLoops(walk)) return null;
  const looped = walk.circuits.flatMap((circuit, c) => {
    const whole = {
      ...{ c, circuit },
      faults: marginalFaults(walk, circuit),
      partsAt: sketchParts(walk, circuit, true),
      loops: alikeIn(circuit.conducting),
    };
    const loops = loopsSeen(walk, whole, nuisances);
    return loops.length > 0 ? [{ ...whole, loops }] : [];
  });
  if (looped.length === 0) return null;
  return (nuisance) => {
    const plain = sketch.circuits(nuisance);
    const looping = [...plain];
    for (const one of looped) {
      const [clean, contaminated] = likelihoodsOf(walk, one, nuisance);
      const hasBody = one.circuit.links[0]!.body !== null;
      const values = plain[one.c]!.values.map((_, k) => (hasBody && k & 1 ? contaminated : clean));
      looping[one.c] = { logScale: 0, values };
    }
    return sketch.sum(looping) - sketch.sum(plain);
  };
}

type Faults = ReturnType<typeof marginalFaults>;

/** A circuit that looks as if it conducted, and what is thought of it without its loop. */
interface Looped {
  /** Its number. */
  readonly c: number;
  readonly circuit: CircuitProblem;
  readonly faults: Faults;
  readonly partsAt: ReturnType<typeof sketchParts>;
  readonly loops: readonly Alike[];
}

/** What conducts has to be so likely, at any of the sources. */
const WORTH = 0.02;

function loopsSeen(
  walk: WalkProblem,
  { circuit, faults, partsAt, loops }: Looped,
  nuisances: readonly Nuisance[],
): readonly Alike[] {
  const looks = nuisances.map((nuisance) => ({ nuisance, parts: partsAt(nuisance) }));
  const unsound = looks.filter(({ parts }) => !looksSound(parts));
  return loops.filter((one) =>
    unsound.some(
      ({ nuisance, parts }) =>
        loopSum(walk, { circuit, faults, loops: [one] }, nuisance) > WORTH * totalOf(parts),
    ),
  );
}

/** Sum over the loops of a circuit, each by its chance; `faulty`: with a contact that may foul. */
function loopSum(
  walk: WalkProblem,
  { circuit, faults, loops }: Pick<Looped, "circuit" | "faults" | "loops">,
  nuisance: Nuisance,
  faulty = false,
): number {
  const off = offOneByOne(walk.zeroRuns);
  return loops.reduce((sum, one) => {
    const { logLikelihood } = loopSketch(circuit, one, nuisance, faults, faulty, off);
    return sum + one.chance * Math.exp(logLikelihood);
  }, 0);
}

/** Of a circuit's readings, its loops among what may be, while the body at the timer is clean, and not. */
function likelihoodsOf(
  walk: WalkProblem,
  looped: Looped,
  nuisance: Nuisance,
): readonly [clean: number, contaminated: number] {
  const parts = looped.partsAt(nuisance);
  const [first, ...rest] = looped.faults;
  const summed = (fouled: 0 | 1): number => {
    const faults = [{ ...first!, fouled, sound: 1 - fouled }, ...rest];
    return loopSum(walk, { ...looped, faults }, nuisance, fouled === 1);
  };
  const [ifSound, ifFouled] = [summed(0), summed(1)];
  const plainFouled = first!.fouled > 0 ? parts.fouled[0]! / first!.fouled : 0;
  const plainSound = (totalOf(parts) - parts.fouled[0]!) / (1 - first!.fouled);
  const given = ({ fouled }: StateChances): number =>
    (1 - fouled) * (plainSound + ifSound) + fouled * (plainFouled + ifFouled) + Number.MIN_VALUE;
  const { states } = looped.circuit.links[0]!;
  return [given(states[0]), given(states[1])];
}
