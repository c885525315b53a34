import { type ContactChain, ofKind, type TroubleWeeks, troubleWeeks } from "./contact-chain.ts";
import { push } from "./push.ts";
import { type ReadingRule, type ReadingView, readsUnder } from "./reading-rule.ts";

/**
 * What a connector is expected to take if a rule is followed by what is read: the forward pass over
 * true states, in which a cleaning falls to chance as the reading that asks for it does.
 *
 * All contacts of a connector are cleaned and replaced together, whichever of them asks. Each contact
 * is followed by itself, the others' asking taken as independent of where it stands (a mean field).
 */
export interface Amounts {
  /** Per walk, the first now. */
  readonly cleanings: Float64Array;
  /** After a failed cleaning, or where the body broke. */
  readonly replacements: Float64Array;
  /** Weeks in which a contact's path reads low, is open, or comes and goes: sums over contacts. */
  readonly low: Float64Array;
  readonly open: Float64Array;
  readonly intermittent: Float64Array;
}

/** One contact, or `copies` of it in like places of the connector. */
export interface FollowedContact {
  readonly chain: ContactChain;
  readonly view: ReadingView;
  readonly copies: number;
  /** Chances of its states now, of all ages. */
  readonly start: Float64Array;
}

/** Failed cleanings in a row that are told apart: none, one, more. */
const FAILURES = 3;

interface Standing {
  readonly of: FollowedContact;
  /** By failed cleanings in a row. */
  mass: Float64Array[];
  readonly asks: Float64Array | null;
  readonly fails: Float64Array;
  readonly tooLow: Float64Array | null;
  readonly trouble: TroubleWeeks;
}

function standing(of: FollowedContact, rule: ReadingRule): Standing {
  const { chain, view } = of;
  const under = (volts: number | null): Float64Array | null =>
    volts === null ? null : readsUnder(chain, view, volts);
  const none = (): Float64Array => new Float64Array(of.start.length);
  return {
    of,
    mass: [of.start.slice(), ...Array.from({ length: FAILURES - 1 }, none)],
    asks: under(rule.cleanUnder),
    fails: under(rule.cleanUnder) ?? new Float64Array(chain.size),
    tooLow: under(rule.replaceUnder),
    trouble: troubleWeeks(chain),
  };
}

/** P(its own reading asks for a cleaning). */
function asking({ of: { chain }, mass, asks }: Standing): number {
  if (asks === null) return 0;
  let sum = 0;
  for (const each of mass)
    for (let at = 0; at < each.length; at++) sum += each[at]! * asks[at % chain.size]!;
  return sum;
}

/** Puts a new contact in place of a share of what stands there. */
function fitNew({ of: { chain }, mass }: Standing, share: number): void {
  for (const { state, weight } of chain.fresh) mass[0]![state]! += share * weight;
}

/** Moves chances through a cleaning: what is cured to its floor, the rest by what a failure says. */
export function cleanMass(chain: ContactChain, from: Float64Array, out: Float64Array): void {
  const { law, size, ages, kinds } = chain;
  for (let offset = 0; offset < ages.length * size; offset += size)
    for (const block of chain.blocks) {
      const shift = block.levels.length;
      let cured = 0;
      for (const [kind, oxide] of kinds.oxide.entries()) {
        const chance = (1 - oxide) * law.cure;
        const { index, part } = kinds.failed[kind]!;
        const start = offset + ofKind(block, block.start, kind);
        const after = offset + ofKind(block, block.start, index);
        for (let j = 0; j < shift; j++) {
          const here = from[start + j]!;
          if (here === 0) continue;
          cured += chance * here;
          out[after + j]! += (1 - chance) * (1 - part) * here;
          out[after + shift + j]! += (1 - chance) * part * here;
        }
      }
      let mended = 0;
      for (const at of [offset + block.open, offset + block.intermittent]) {
        mended += from[at]!;
        out[at + 1]! += from[at + 1]!;
      }
      for (const { state, weight } of block.floor) {
        out[offset + state]! += cured * weight;
        out[offset + ofKind(block, state, kinds.fresh)]! += mended * weight;
      }
    }
}

/**
 * One walk's work on one contact. `others`: P(another contact of the connector asks).
 *
 * @returns P(replaced)
 */
function work(now: Standing, rule: ReadingRule, others: number): number {
  const { of, asks, fails, tooLow } = now;
  if (rule.first === "replace") return replaceAsked(now, others);
  const { chain } = of;
  const next = now.mass.map((each) => new Float64Array(each.length));
  const taken = new Float64Array(of.start.length);
  const after = new Float64Array(of.start.length);
  let replaced = 0;
  for (const [failed, each] of now.mass.entries()) {
    for (let at = 0; at < each.length; at++) {
      const own = asks === null ? 0 : asks[at % chain.size]!;
      taken[at] = each[at]! * (1 - (1 - own) * (1 - others));
      next[failed]![at]! += each[at]! - taken[at]!;
    }
    after.fill(0);
    cleanMass(chain, taken, after);
    const last = rule.replaceAfter !== null && failed + 1 >= rule.replaceAfter;
    const onward = next[Math.min(failed + 1, FAILURES - 1)]!;
    for (let at = 0; at < after.length; at++) {
      const s = at % chain.size;
      const still = fails[s]!;
      const out = Math.max(tooLow === null ? 0 : tooLow[s]!, last ? still : 0);
      replaced += after[at]! * out;
      const kept = after[at]! * (1 - out);
      const failing = out >= still ? 0 : (still - out) / (1 - out);
      onward[at]! += kept * failing;
      next[0]![at]! += kept * (1 - failing);
    }
  }
  now.mass = next;
  return replaced;
}

/** Takes out what asks, nothing cleaned; returns P(replaced). */
function replaceAsked({ mass, asks, of: { chain } }: Standing, others: number): number {
  let replaced = 0;
  for (const each of mass)
    for (let at = 0; at < each.length; at++) {
      const own = asks === null ? 0 : asks[at % chain.size]!;
      const taken = each[at]! * (1 - (1 - own) * (1 - others));
      replaced += taken;
      each[at]! -= taken;
    }
  return replaced;
}

/** A share of the contact replaced, whatever state it is in. */
function replaceShare(now: Standing, share: number): void {
  for (const each of now.mass) for (let at = 0; at < each.length; at++) each[at]! *= 1 - share;
  fitNew(now, share);
}

/** Weeks of trouble until the next walk, and on to it; returns P(the body breaks). */
function passOn(now: Standing, t: number, amounts: Amounts): number {
  const { of, trouble, mass } = now;
  const { chain, copies } = of;
  let broken = 0;
  for (const each of mass) {
    for (let at = 0; at < each.length; at++) {
      const here = each[at]!;
      if (here === 0) continue;
      const [s, a] = [at % chain.size, Math.floor(at / chain.size)];
      const breaks = chain.breaking[a]!;
      broken += here * breaks;
      const weight = copies * here * (1 - breaks);
      amounts.low[t]! += weight * trouble.low[s]!;
      amounts.open[t]! += weight * trouble.open[s]! + (copies * here * breaks * chain.weeks) / 2;
      amounts.intermittent[t]! += weight * trouble.intermittent[s]!;
      each[at] = here * (1 - breaks);
    }
  }
  now.mass = mass.map((each) => {
    const out = new Float64Array(each.length);
    push(chain, each, out);
    return out;
  });
  return broken;
}

/** Follows a rule for so many walks. The contacts sit in one connector. */
export function followRule(
  contacts: readonly FollowedContact[],
  rule: ReadingRule,
  walks: number,
): Amounts {
  const empty = (): Float64Array => new Float64Array(walks);
  const amounts: Amounts = {
    cleanings: empty(),
    replacements: empty(),
    low: empty(),
    open: empty(),
    intermittent: empty(),
  };
  const all = contacts.map((each) => standing(each, rule));
  const weeks = contacts[0]!.chain.weeks;
  for (let t = 0; t < walks; t++) {
    const due =
      rule.cleanEvery !== null &&
      Math.floor((t * weeks) / rule.cleanEvery) !== Math.floor(((t - 1) * weeks) / rule.cleanEvery);
    const quiet = all.map((each) => (due ? 0 : 1 - asking(each)));
    const nobody = all.reduce((product, each, k) => product * quiet[k]! ** each.of.copies, 1);
    if (rule.first === "clean") amounts.cleanings[t]! += 1 - nobody;
    const chances = all.map((each, k) => {
      const rest = quiet[k]! > 0 ? nobody / quiet[k]! : 0;
      return due || 1 - nobody > 0 ? work(each, rule, due ? 1 : 1 - rest) : 0;
    });
    const kept = chances.reduce((product, each, k) => product * (1 - each) ** all[k]!.of.copies, 1);
    for (const [k, each] of all.entries()) {
      fitNew(each, chances[k]!);
      const byOthers = chances[k]! < 1 ? 1 - kept / (1 - chances[k]!) : 0;
      if (byOthers > 0) replaceShare(each, byOthers);
    }
    amounts.replacements[t]! += 1 - kept;
    const breaks = all.map((each) => passOn(each, t, amounts));
    for (const [k, each] of all.entries()) fitNew(each, breaks[k]!);
    if (t + 1 < walks) amounts.replacements[t + 1]! += breaks[0]!;
  }
  return amounts;
}
