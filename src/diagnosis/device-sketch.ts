import type { LogNormal } from "../domain/pool.ts";
import { normalDensity } from "../numerics/normal.ts";
import type { ChainPool } from "./chain-pool.ts";
import type { ChainPrior } from "./chain-prior.ts";
import type { CircuitReading } from "./circuit-model.ts";
import { likelihoodAt } from "./display-likelihood.ts";
import { fallOfShare, placeOfShare, shownShare } from "./shunted-path.ts";

/**
 * Gauss-Hermite rules for the standard normal, of three and five nodes.
 *
 * Source: roots of z^3 - 3z and z^5 - 10z^3 + 15z in closed form (Abramowitz & Stegun 25.4.46).
 */
const SOUND_RULE = symmetric([[Math.sqrt(3), 1 / 6]], 2 / 3);
const FAULTY_RULE = symmetric(
  [
    [Math.sqrt(5 - Math.sqrt(10)), (7 + 2 * Math.sqrt(10)) / 60],
    [Math.sqrt(5 + Math.sqrt(10)), (7 - 2 * Math.sqrt(10)) / 60],
  ],
  8 / 15,
);

function symmetric(pairs: readonly (readonly [z: number, weight: number])[], middle: number) {
  const sides = pairs.flatMap(([z, weight]) => [
    { z, weight },
    { z: -z, weight },
  ]);
  return [{ z: 0, weight: middle }, ...sides];
}

/** A sound contact's spread that moves a reading by less than this part of its noise is not felt. */
const FELT = 0.25;

/** One circuit, ready to be sketched. */
export interface Sketched {
  readonly sound: Moments;
  /** Resistances that stand for a sound contact where its spread is felt. */
  readonly soundNodes: readonly { readonly ohms: number; readonly weight: number }[];
  readonly fouled: LogNormal;
  readonly readings: readonly (readonly CircuitReading[])[];
  /** Source and wires up to each point [Ω]. */
  readonly fixed: readonly number[];
  /** P(sound), P(fouled) and P(open) of each link, bodies averaged out. */
  readonly states: readonly {
    readonly sound: number;
    readonly fouled: number;
    readonly open: number;
  }[];
  /** `most[k]`: what the readings from link k on are worth at best; one more entry than links. */
  readonly most: readonly number[];
}

export function sketched(
  pool: ChainPool,
  prior: ChainPrior,
  readings: readonly (readonly CircuitReading[])[],
  contaminated: readonly number[],
): Sketched {
  let ohms: number = pool.supply.sourceOhms;
  const fixed = pool.chain.map(({ wireOhms }) => {
    ohms += wireOhms;
    return ohms;
  });
  const states = prior.links.map(({ sound, fouled, open }, i) => {
    const mean = (of: readonly [number, number]): number =>
      of[0] + contaminated[i]! * (of[1] - of[0]);
    return { sound: mean(sound), fouled: mean(fouled), open: mean(open) };
  });
  const most = [1];
  for (const here of [...readings].reverse()) {
    const best = here.map(({ display }) => likelihoodAt(display, display.shown));
    most.unshift(best.reduce((product, one) => product * one, most[0]!));
  }
  const { sound, fouled } = pool.contact;
  const soundNodes = SOUND_RULE.map(({ z, weight }) => ({
    ohms: sound.medianOhms * Math.exp(sound.logSd * z),
    weight,
  }));
  return { sound: momentsOf(sound), soundNodes, fouled, readings, fixed, states, most };
}

interface Moments {
  readonly mean: number;
  readonly sd: number;
}

function momentsOf({ medianOhms, logSd }: LogNormal): Moments {
  const mean = medianOhms * Math.exp((logSd * logSd) / 2);
  return { mean, sd: mean * Math.sqrt(Math.expm1(logSd * logSd)) };
}

/** What is known of the loop: its resistance, and what the whole chain's contacts are worth. */
export interface SketchLoop {
  /** Infinite where nothing stands across the line [Ω]. */
  readonly whole: number;
  readonly end: (contacts: number) => number;
  /** The most that it gives. */
  readonly mostEnd: number;
  /** The contact resistance that the end asks for [Ω], null where it asks for none. */
  readonly wanted: { readonly ohms: number; readonly width: number } | null;
}

/** A plain path. */
export const PLAIN: SketchLoop = {
  whole: Number.POSITIVE_INFINITY,
  end: () => 1,
  mostEnd: 1,
  wanted: null,
};

/**
 * Roughly P(readings, all contacts finite | EMF): sound contacts at their mean, fouled ones at three
 * places around where the next reading puts them. Branches that cannot come to `least` are left out.
 */
export function sketchFinite(
  circuit: Sketched,
  emf: number,
  loop: SketchLoop,
  least: number,
): number {
  const nodes = soundFelt(circuit, emf, loop)
    ? circuit.soundNodes
    : [{ ohms: circuit.sound.mean, weight: 1 }];
  return branch(circuit, emf, loop, nodes, 0, 0, 1, least);
}

/** Roughly P(readings, a contact open | EMF). */
export function sketchOpen(circuit: Sketched, emf: number, least: number): number {
  const { states, readings } = circuit;
  let total = 0;
  for (let k = states.length - 1, zeros = 1; k >= 0; k--) {
    for (const { display } of readings[k]!) zeros *= likelihoodAt(display, 0);
    const tail = states[k]!.open * zeros;
    if (tail * (circuit.most[0]! / circuit.most[k]!) <= least) continue;
    const front: Sketched = {
      ...circuit,
      states: states.slice(0, k),
      readings: readings.slice(0, k),
      most: circuit.most.slice(0, k + 1).map((most) => most / circuit.most[k]!),
    };
    total += tail * sketchFinite(front, emf, PLAIN, least / tail);
  }
  return total;
}

/** Whether the spread of a sound contact moves any reading enough to be felt. */
function soundFelt({ readings, fixed, sound }: Sketched, emf: number, { whole }: SketchLoop) {
  return readings.some((here, k) =>
    here.some(
      ({ loadOhms, display }) =>
        emf * fallOfShare(loadOhms, Math.min(fixed[k]!, whole), whole) * sound.sd >
        FELT * display.noise,
    ),
  );
}

function branch(
  circuit: Sketched,
  emf: number,
  loop: SketchLoop,
  soundNodes: Sketched["soundNodes"],
  k: number,
  contacts: number,
  weight: number,
  least: number,
): number {
  const { states, fouled, most } = circuit;
  if (k === states.length) return weight * loop.end(contacts);
  const { sound: ifSound, fouled: ifFouled } = states[k]!;
  const beyond = most[k + 1]! * loop.mostEnd;
  let sum = 0;
  for (const { ohms, weight: share } of soundNodes) {
    const behind = contacts + ohms;
    const placedHere = weight * ifSound * share;
    if (placedHere * most[k]! * loop.mostEnd <= least) continue;
    const next = placedHere * pointLikelihood(circuit, emf, loop, k, behind);
    if (next * beyond > least)
      sum += branch(circuit, emf, loop, soundNodes, k + 1, behind, next, least);
  }
  if (weight * ifFouled * most[k]! * loop.mostEnd <= least) return sum;
  const { mean, sd } = placed(circuit, emf, loop, k, contacts);
  for (const { z, weight: share } of FAULTY_RULE) {
    const at = mean + sd * z;
    const density = (normalDensity(at) * sd) / normalDensity(z);
    const ohms = contacts + fouled.medianOhms * Math.exp(fouled.logSd * at);
    const placedHere = weight * ifFouled * share * density;
    if (placedHere * most[k]! * loop.mostEnd <= least) continue;
    const onward = placedHere * pointLikelihood(circuit, emf, loop, k, ohms);
    if (onward * beyond > least)
      sum += branch(circuit, emf, loop, soundNodes, k + 1, ohms, onward, least);
  }
  return sum;
}

function pointLikelihood(
  { readings, fixed }: Sketched,
  emf: number,
  { whole }: SketchLoop,
  k: number,
  contacts: number,
): number {
  let product = 1;
  for (const { loadOhms, display } of readings[k]!) {
    product *= likelihoodAt(display, emf * shareAt(loadOhms, fixed[k]! + contacts, whole));
  }
  return product;
}

const shareAt = (loadOhms: number, x: number, whole: number): number =>
  whole === Number.POSITIVE_INFINITY ? loadOhms / (loadOhms + x) : shownShare(loadOhms, x, whole);

/** Where the next reading puts a fouled contact k, prior included, in z of its logarithm. */
function placed(
  circuit: Sketched,
  emf: number,
  loop: SketchLoop,
  k: number,
  contacts: number,
): { readonly mean: number; readonly sd: number } {
  const asked = asks(circuit, emf, loop, k);
  if (asked === null) return { mean: 0, sd: 1 };
  const { medianOhms, logSd } = circuit.fouled;
  const { width } = asked;
  const ohms = Math.max(asked.ohms - contacts, width / 2);
  const z = Math.log(ohms / medianOhms) / logSd;
  const spread = width / (ohms * logSd);
  const variance = spread * spread;
  return { mean: z / (1 + variance), sd: spread / Math.sqrt(1 + variance) };
}

/** The contact resistance up to and with link k that the next point's readings ask for [Ω]. */
function asks(
  { readings, fixed, states, sound }: Sketched,
  emf: number,
  loop: SketchLoop,
  k: number,
): { readonly ohms: number; readonly width: number } | null {
  for (let j = k; j < states.length; j++) {
    const here = readings[j]!;
    if (here.length === 0) continue;
    let ohms = 0;
    let width = 0;
    for (const { loadOhms, display } of here) {
      // A zero may be anything up to the display's first edge.
      const share = Math.max(display.shown, display.halfStep) / emf;
      const x =
        loop.whole === Number.POSITIVE_INFINITY
          ? loadOhms * (1 / share - 1)
          : placeOfShare(loadOhms, share, loop.whole);
      const spread = Math.sqrt(display.noise ** 2 + display.halfStep ** 2 / 3);
      ohms += x / here.length;
      width += spread / (emf * fallOfShare(loadOhms, x, loop.whole)) / here.length;
    }
    width = Math.max(width / Math.sqrt(here.length), 1e-6);
    return { ohms: ohms - fixed[j]! - sound.mean * (j - k), width };
  }
  const { wanted } = loop;
  return wanted && { ...wanted, ohms: wanted.ohms - sound.mean * (states.length - 1 - k) };
}
