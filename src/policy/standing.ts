import { BodyAges } from "./body-ages.ts";
import type { Entry } from "./contact-chain.ts";
import type { FollowedContact } from "./follow-rule.ts";
import { readsUnder } from "./reading-rule.ts";
import { asTrue, CLASSES, eachTrue, type TrueStates, trueStates } from "./true-states.ts";

/** Where the contacts of bodies stand that came at one time or another. */
export interface Lot {
  /** Chances of the states, by failed cleanings in a row. */
  readonly mass: Float64Array[];
  readonly ages: BodyAges;
}

/** A contact under its rule. */
export interface Standing {
  readonly of: FollowedContact;
  readonly states: TrueStates;
  /** What stood there from the start, and what was fitted since; or both as one. */
  readonly lots: readonly Lot[];
  readonly since: Lot;
  /** What a walk's reading says of each state, by failures before. */
  readonly says: readonly Says[];
  /** Room to work in. */
  readonly fine: Float64Array;
  /** By class, what fouls at a stroke. */
  readonly fouling: Float64Array;
  spare: Float64Array;
}

/** Of each state: P(its reading asks for work), and after it P(replaced), P(failed), P(fine). */
export interface Says {
  readonly asks: Float64Array;
  readonly never: boolean;
  /** What asks is replaced never, always, or now and then. */
  readonly ends: "never" | "always" | "some";
  readonly out: Float64Array;
  readonly fails: Float64Array;
  readonly fine: Float64Array;
}

/** Chances under this are dropped: a tail of ever smaller numbers is slow, and says nothing. */
export const NEGLIGIBLE = 1e-15;

/** Lays a contact out at its first walk. `roughly`: bodies fitted since are not kept apart. */
export function standing(of: FollowedContact, roughly: boolean): Standing {
  const { chain, rule } = of;
  const states = trueStates(chain);
  const { replaceAfter, leaveAfter } = rule;
  // Failed cleanings in a row that the rule tells apart, none among them.
  const depth = Math.max(1, replaceAfter ?? 1, (leaveAfter ?? 0) + 1);
  const lot = (): Lot => ({
    mass: Array.from({ length: depth }, () => new Float64Array(states.size)),
    ages: new BodyAges(chain, depth),
  });
  const found = lot();
  const since = roughly ? found : lot();
  eachTrue(states, of.start, (state, mode, age, chance) => {
    found.mass[0]![state]! += chance;
    found.ages.add(mode, age, chance);
  });
  return {
    of,
    states,
    since,
    lots: roughly ? [found] : [found, since],
    says: saysOf(of, states, depth),
    fine: new Float64Array(states.size),
    fouling: new Float64Array(CLASSES),
    spare: new Float64Array(states.size),
  };
}

function saysOf({ chain, view, rule }: FollowedContact, states: TrueStates, depth: number) {
  const none = new Float64Array(states.size);
  const under = (volts: number | null): Float64Array =>
    volts === null
      ? none
      : asTrue(states, readsUnder(chain, view, volts)).map((p) => (p < NEGLIGIBLE ? 0 : p));
  const { replaceAfter, leaveAfter } = rule;
  const low = under(rule.cleanUnder);
  const tooLow = under(rule.replaceUnder);
  return Array.from({ length: depth }, (_, failed): Says => {
    const last = replaceAfter !== null && failed + 1 >= replaceAfter;
    const out = last ? tooLow.map((each, at) => Math.max(each, low[at]!)) : tooLow;
    const left = leaveAfter !== null && failed >= leaveAfter;
    const ends =
      out === none ? "never" : out.every((each, at) => each === low[at]) ? "always" : "some";
    const fails = low.map((still, at) => Math.max(0, still - out[at]!));
    const fine = low.map((still, at) => 1 - Math.max(still, out[at]!));
    return {
      asks: left ? none : low,
      never: left || rule.cleanUnder === null,
      ends: left ? "some" : ends,
      out,
      fails,
      fine,
    };
  });
}

/** Puts a new contact in place of a share of what stood there. */
export function fitNew({ of, states, since: { ages, mass } }: Standing, share: number): void {
  if (share <= 0) return;
  for (const [mode, { weight }] of of.chain.law.modes.entries()) ages.add(mode, 0, share * weight);
  addEntries(states.fresh, share, mass[0]!);
}

/** A share of the contact replaced, whatever state it is in. */
export function replaceShare(now: Standing, share: number): void {
  for (const { ages, mass } of now.lots) {
    ages.keep(1 - share);
    for (const each of mass) for (let at = 0; at < each.length; at++) each[at]! *= 1 - share;
  }
  fitNew(now, share);
}

/** Adds so much of a spread over states. */
export function addEntries(entries: readonly Entry[], amount: number, to: Float64Array): void {
  for (let k = 0; k < entries.length; k++) {
    const { state, weight } = entries[k]!;
    to[state]! += amount * weight;
  }
}
