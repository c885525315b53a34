import { type ContactChain, ofKind, troubleWeeks } from "./contact-chain.ts";
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
  /** What each contact's path suffers by it, one copy's, in the order of the contacts. */
  readonly trouble: readonly Trouble[];
}

/** Weeks until the next walk in which a path reads low, is open, or comes and goes, per walk. */
export interface Trouble {
  readonly low: Float64Array;
  readonly open: Float64Array;
  readonly intermittent: Float64Array;
}

/** What is done at the first walk, whatever it reads: nothing, a cleaning, or what the rule says. */
export type FirstAct = "wait" | "clean" | "by-reading";

/** One contact, or `copies` of it in like places of the connector. */
export interface FollowedContact {
  readonly chain: ContactChain;
  readonly view: ReadingView;
  readonly copies: number;
  /** Chances of its states now, of all ages. */
  readonly start: Float64Array;
  /** What its readings ask for: a connector's contacts need not ask alike. */
  readonly rule: ReadingRule;
}

/** Failed cleanings in a row that are told apart at most: none, one, more. */
const FAILURES = 3;

/** Chances under this are dropped: a tail of ever smaller numbers is slow, and says nothing. */
const NEGLIGIBLE = 1e-15;

/** A contact under its rule; tables have an entry for each state of every age. */
interface Standing {
  readonly of: FollowedContact;
  /** By failed cleanings in a row. */
  readonly mass: Float64Array[];
  /** P(its reading asks for work), by failures before. */
  readonly asks: readonly Float64Array[];
  /** P(after a failure it is replaced), by failures before; and P(it still reads low). */
  readonly out: readonly Float64Array[];
  readonly fails: Float64Array;
  readonly trouble: Trouble;
  readonly breaking: Float64Array;
  /** Room to work in. */
  readonly taken: Float64Array;
  readonly after: Float64Array;
  readonly fine: Float64Array;
}

/** Values of the states of one age, for all ages. */
function forAllAges({ size, ages }: ContactChain, values: Float64Array): Float64Array {
  const all = new Float64Array(size * ages.length);
  for (let at = 0; at < all.length; at++) {
    const value = values[at % size]!;
    if (value >= NEGLIGIBLE) all[at] = value;
  }
  return all;
}

function standing(of: FollowedContact): Standing {
  const { chain, view, rule } = of;
  const length = of.start.length;
  const under = (volts: number | null): Float64Array | null =>
    volts === null ? null : forAllAges(chain, readsUnder(chain, view, volts));
  const none = (): Float64Array => new Float64Array(length);
  const { replaceAfter, leaveAfter } = rule;
  const depth = Math.min(FAILURES, Math.max(1, replaceAfter ?? 1, (leaveAfter ?? 0) + 1));
  const fails = under(rule.cleanUnder) ?? none();
  const tooLow = under(rule.replaceUnder) ?? none();
  const { low, open, intermittent } = troubleWeeks(chain);
  return {
    of,
    mass: [of.start.slice(), ...Array.from({ length: depth - 1 }, none)],
    asks: Array.from({ length: depth }, (_, failed) =>
      leaveAfter !== null && failed >= leaveAfter ? none() : fails,
    ),
    out: Array.from({ length: depth }, (_, failed) => {
      const last = replaceAfter !== null && failed + 1 >= replaceAfter;
      return last ? tooLow.map((each, at) => Math.max(each, fails[at]!)) : tooLow;
    }),
    fails,
    trouble: {
      low: forAllAges(chain, low),
      open: forAllAges(chain, open),
      intermittent: forAllAges(chain, intermittent),
    },
    breaking: none().map((_, at) => chain.breaking[Math.floor(at / chain.size)]!),
    taken: none(),
    after: none(),
    fine: none(),
  };
}

/** P(its own reading asks for a cleaning). */
function asking({ mass, asks }: Standing): number {
  let sum = 0;
  for (const [failed, each] of mass.entries()) {
    const own = asks[failed]!;
    for (let at = 0; at < each.length; at++) sum += each[at]! * own[at]!;
  }
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
function work(now: Standing, others: number): number {
  const { of, mass, asks, fails, taken, after, fine } = now;
  if (of.rule.first === "replace") return replaceAsked(now);
  let replaced = 0;
  fine.fill(0);
  // The most failures first, so that what fails at this walk is not cleaned twice.
  for (let failed = mass.length - 1; failed >= 0; failed--) {
    const each = mass[failed]!;
    const own = asks[failed]!;
    let any = 0;
    for (let at = 0; at < each.length; at++) {
      const here = each[at]!;
      if (here === 0) {
        taken[at] = 0;
        continue;
      }
      const share = here * (1 - (1 - own[at]!) * (1 - others));
      taken[at] = share;
      each[at]! -= share;
      any += share;
    }
    if (any === 0) continue;
    after.fill(0);
    cleanMass(of.chain, taken, after);
    const leaves = now.out[failed]!;
    const onward = mass[Math.min(failed + 1, mass.length - 1)]!;
    for (let at = 0; at < after.length; at++) {
      const here = after[at]!;
      if (here === 0) continue;
      const out = leaves[at]!;
      const still = fails[at]!;
      replaced += here * out;
      const kept = here * (1 - out);
      const failing = out >= still ? 0 : (still - out) / (1 - out);
      onward[at]! += kept * failing;
      fine[at]! += kept * (1 - failing);
    }
  }
  const none = mass[0]!;
  for (let at = 0; at < none.length; at++) none[at]! += fine[at]!;
  return replaced;
}

/** Takes out what asks, nothing cleaned; returns P(replaced). */
function replaceAsked({ mass, asks }: Standing): number {
  let replaced = 0;
  for (const [failed, each] of mass.entries()) {
    const own = asks[failed]!;
    for (let at = 0; at < each.length; at++) {
      const taken = each[at]! * own[at]!;
      replaced += taken;
      each[at]! -= taken;
    }
  }
  return replaced;
}

/** A share of the contact replaced, whatever state it is in. */
function replaceShare(now: Standing, share: number): void {
  for (const each of now.mass) for (let at = 0; at < each.length; at++) each[at]! *= 1 - share;
  fitNew(now, share);
}

const isEmpty = (mass: Float64Array): boolean => {
  for (let at = 0; at < mass.length; at++) if (mass[at] !== 0) return false;
  return true;
};

/** Weeks of trouble until the next walk, and on to it; returns P(the body breaks). */
function passOn(now: Standing, t: number, sums: Trouble): number {
  const { of, trouble, mass, breaking, after } = now;
  let broken = 0;
  const { low, open, intermittent } = trouble;
  for (const each of mass) {
    if (isEmpty(each)) continue;
    let lowWeeks = 0;
    let openWeeks = 0;
    let badWeeks = 0;
    let breaks = 0;
    for (let at = 0; at < each.length; at++) {
      const here = each[at]!;
      if (here < NEGLIGIBLE) {
        each[at] = 0;
        continue;
      }
      const lost = here * breaking[at]!;
      const kept = here - lost;
      breaks += lost;
      lowWeeks += kept * low[at]!;
      openWeeks += kept * open[at]!;
      badWeeks += kept * intermittent[at]!;
      each[at] = kept;
    }
    broken += breaks;
    sums.low[t]! += lowWeeks;
    sums.open[t]! += openWeeks + (breaks * of.chain.weeks) / 2;
    sums.intermittent[t]! += badWeeks;
    push(of.chain, each, after);
    each.set(after);
  }
  return broken;
}

/**
 * Follows contacts' rules for so many walks. They sit in one connector: it is cleaned by the calendar
 * of the first.
 */
export function followRule(
  contacts: readonly FollowedContact[],
  walks: number,
  first: FirstAct = "by-reading",
): Amounts {
  const empty = (): Float64Array => new Float64Array(walks);
  const amounts: Amounts = {
    cleanings: empty(),
    replacements: empty(),
    trouble: contacts.map(() => ({ low: empty(), open: empty(), intermittent: empty() })),
  };
  const all = contacts.map(standing);
  const { chain, rule } = contacts[0]!;
  const { weeks } = chain;
  for (let t = 0; t < walks; t++) {
    const act = t === 0 ? first : "by-reading";
    const due =
      act === "clean" ||
      (rule.cleanEvery !== null &&
        Math.floor((t * weeks) / rule.cleanEvery) !==
          Math.floor(((t - 1) * weeks) / rule.cleanEvery));
    if (act !== "wait") workAll(all, due, t, amounts);
    const breaks = all.map((each, k) => passOn(each, t, amounts.trouble[k]!));
    for (const [k, each] of all.entries()) fitNew(each, breaks[k]!);
    if (t + 1 < walks) amounts.replacements[t + 1]! += breaks[0]!;
  }
  return amounts;
}

/** One walk's work on a connector. `due`: it is cleaned whatever it reads. */
function workAll(all: readonly Standing[], due: boolean, t: number, amounts: Amounts): void {
  const cleans = ({ of }: Standing): boolean => of.rule.first === "clean";
  const quiet = all.map((each) => (due ? 0 : cleans(each) ? 1 - asking(each) : 1));
  const nobody = all.reduce((product, each, k) => product * quiet[k]! ** each.of.copies, 1);
  amounts.cleanings[t]! += 1 - nobody;
  const chances = all.map((each, k) => {
    const rest = quiet[k]! > 0 ? nobody / quiet[k]! : 0;
    return due || !cleans(each) || nobody < 1 ? work(each, due ? 1 : 1 - rest) : 0;
  });
  const kept = chances.reduce((product, each, k) => product * (1 - each) ** all[k]!.of.copies, 1);
  for (const [k, each] of all.entries()) {
    fitNew(each, chances[k]!);
    const byOthers = chances[k]! < 1 ? 1 - kept / (1 - chances[k]!) : 0;
    if (byOthers > 0) replaceShare(each, byOthers);
  }
  amounts.replacements[t]! += 1 - kept;
}
