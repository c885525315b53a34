import { matrixProduct } from "../numerics/matrix-exponential.ts";
import {
  FILM,
  INTERMITTENT,
  KINDS,
  type KindPrior,
  kindRates,
  kindsAfter,
  kindsAfterWork,
  OPEN,
  OXIDE,
  SOUND,
} from "./contact-kinds.ts";

/** What happened between two walks, in the order of time. */
export type Passing =
  | { readonly kind: "weeks"; readonly weeks: number }
  | { readonly kind: "cleaned" | "reseated" | "replaced" };

/** States of a contact as a walk's diagnosis has them: film and oxide are both fouled. */
export const contactStates = ["sound", "fouled", "open", "intermittent"] as const;
export const STATES = contactStates.length;
const stateOf = Int8Array.of(0, 1, 1, 2, 3);

/** One contact, from the last walk to the next. */
export interface KindMove {
  /** P(state at the next walk | state after the last), from * 4 + to. */
  readonly states: Float64Array;
  /** P(oxide | fouled) at the next walk. */
  readonly oxide: number;
  /**
   * Of each state at the next walk: the share that was there all the time, its resistance the old one
   * grown on; the rest has a fresh one.
   */
  readonly kept: Float64Array;
}

/** Kind by kind: the chance of being elsewhere, and of never having left nor been cleaned sound. */
interface Passed {
  readonly moved: Float64Array;
  readonly stayed: Float64Array;
}

/** By what passed, then by prior and cure: contacts of a pool have few priors. */
const known = new WeakMap<readonly Passing[], Map<string, Passed>>();

function passThrough(prior: KindPrior, passing: readonly Passing[], cure: number): Passed {
  const own = known.get(passing) ?? new Map<string, Passed>();
  known.set(passing, own);
  const key = `${prior.fouled} ${prior.open} ${prior.intermittent} ${cure}`;
  const made = own.get(key) ?? passedThrough(prior, passing, cure);
  own.set(key, made);
  return made;
}

function passedThrough(prior: KindPrior, passing: readonly Passing[], cure: number): Passed {
  let moved = Float64Array.from({ length: KINDS * KINDS }, (_, i) =>
    i % (KINDS + 1) === 0 ? 1 : 0,
  );
  const stayed = new Float64Array(KINDS).fill(1);
  const rates = kindRates(prior);
  for (const one of passing) {
    const step =
      one.kind === "weeks" ? kindsAfter(prior, one.weeks) : kindsAfterWork(one.kind, cure);
    moved = matrixProduct(moved, step, KINDS) as Float64Array<ArrayBuffer>;
    for (let kind = 0; kind < KINDS; kind++) {
      if (one.kind === "weeks") stayed[kind]! *= Math.exp(rates[kind * KINDS + kind]! * one.weeks);
      else if (one.kind === "replaced") stayed[kind] = 0;
      // A sound contact that is cleaned goes back to its floor.
      else if (kind === SOUND && one.kind === "cleaned") stayed[kind] = 0;
      else stayed[kind]! *= step[kind * KINDS + kind]!;
    }
  }
  return { moved, stayed };
}

/**
 * Moves one contact. `now`: its four states after the last walk; `oxide`: P(oxide | fouled) then;
 * `cure`: P(a cleaning takes film off).
 */
export function moveKinds(
  prior: KindPrior,
  now: Float64Array,
  oxide: number,
  passing: readonly Passing[],
  cure: number,
): KindMove {
  const { moved, stayed } = passThrough(prior, passing, cure);
  const within = Float64Array.of(1, 1 - oxide, oxide, 1, 1);
  const states = new Float64Array(STATES * STATES);
  const kinds = new Float64Array(KINDS);
  const kept = new Float64Array(STATES);
  for (let from = 0; from < KINDS; from++) {
    const mass = now[stateOf[from]!]! * within[from]!;
    kept[stateOf[from]!]! += mass * stayed[from]!;
    for (let to = 0; to < KINDS; to++) {
      const chance = moved[from * KINDS + to]!;
      states[stateOf[from]! * STATES + stateOf[to]!]! += within[from]! * chance;
      kinds[to]! += mass * chance;
    }
  }
  const fouled = kinds[FILM]! + kinds[OXIDE]!;
  const ends = [kinds[SOUND]!, fouled, kinds[OPEN]!, kinds[INTERMITTENT]!];
  return {
    states,
    oxide: fouled > 0 ? kinds[OXIDE]! / fouled : oxide,
    kept: kept.map((mass, state) => (ends[state]! > 0 ? Math.min(1, mass / ends[state]!) : 0)),
  };
}

/** Chance that a body is contaminated half a year after it was clean; works and healing as above. */
export function moveBody(
  contaminated: number,
  passing: readonly Passing[],
  cure: number,
): Float64Array {
  const { moved } = passThrough({ fouled: contaminated, open: 0, intermittent: 0 }, passing, cure);
  const bad = (from: number): number => moved[from * KINDS + FILM]! + moved[from * KINDS + OXIDE]!;
  const replaced = passing.some(({ kind }) => kind === "replaced");
  // A body has no oxide: what is left of film is all there is.
  const [ofClean, ofBad] = replaced ? [bad(SOUND), bad(SOUND)] : [bad(SOUND), bad(FILM)];
  return Float64Array.of(1 - ofClean, ofClean, 1 - ofBad, ofBad);
}
