import type { FirstAct } from "../domain/courses.ts";
import type { ContactChain } from "./contact-chain.ts";
import { asking, pushTrue, work } from "./follow-work.ts";
import type { ReadingRule, ReadingView } from "./reading-rule.ts";
import { fitNew, replaceShare, type Standing, standing } from "./standing.ts";

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

/** Weeks of trouble until the next walk, and on to it; returns P(the body breaks). */
function passOn(now: Standing, t: number, sums: Trouble): number {
  const { weeks } = now.of.chain;
  const of = { low: 0, open: 0, intermittent: 0, broken: 0 };
  for (const lot of now.lots)
    for (let failed = 0; failed < lot.mass.length; failed++) pushTrue(now, lot, failed, of);
  sums.low[t] = of.low;
  sums.open[t] = (of.open + of.broken / 2) * weeks;
  sums.intermittent[t] = of.intermittent * weeks;
  return of.broken;
}

/**
 * Follows contacts' rules for so many walks. They sit in one connector: it is cleaned by the calendar
 * of the first. `roughly`: in half the time; what is fitted later counts as what stood there before.
 */
export function followRule(
  contacts: readonly FollowedContact[],
  walks: number,
  first: Exclude<FirstAct, "replace"> = "by-reading",
  roughly = false,
): Amounts {
  const empty = (): Float64Array => new Float64Array(walks);
  const amounts: Amounts = {
    cleanings: empty(),
    replacements: empty(),
    trouble: contacts.map(() => ({ low: empty(), open: empty(), intermittent: empty() })),
  };
  const all = contacts.map((each) => standing(each, roughly));
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
