import { WEEKS_PER_YEAR } from "../domain/calendar.ts";
import type { FirstAct } from "../domain/courses.ts";
import { type ContactChain, contactChain, levelGrids } from "../policy/contact-chain.ts";
import { type Amounts, followRule, type Trouble } from "../policy/follow-rule.ts";
import { roughNodes } from "../policy/level-grid.ts";
import type { ReadingRule } from "../policy/reading-rule.ts";
import { QUARTERS } from "./horizon.ts";
import { asTheyAre, type RuleOf, startsOf, type UpkeepGroup, whenNew } from "./upkeep.ts";

const QUARTER_WEEKS = WEEKS_PER_YEAR / QUARTERS;

/** What one connector of a group takes, quarter by quarter, in numbers of things: no prices yet. */
export interface Track {
  /** It begins with a new connector. */
  readonly isNew: boolean;
  /** Work at the first walk. */
  readonly now: { readonly cleanings: number; readonly replacements: number };
  /** All other work. */
  readonly cleanings: Float64Array;
  readonly replacements: Float64Array;
  /** Share of the time in which each contact's path reads low, is open, or comes and goes. */
  readonly trouble: readonly Trouble[];
}

/** How a group is kept: what is done now, and the rule of each contact; null: the plan's own. */
export interface Keeping {
  readonly first: FirstAct;
  readonly rule: ReadingRule | null;
}

/** Sums amounts of walks into quarters; what falls between two walks is spread over the time. */
function inQuarters(amounts: Amounts, weeks: number, quarters: number): Track {
  const empty = (): Float64Array => new Float64Array(quarters);
  const at = (walk: number): number => Math.floor((walk * weeks) / QUARTER_WEEKS + 1e-9);
  const events = (of: Float64Array): Float64Array => {
    const sums = empty();
    for (let t = 1; t < of.length; t++) if (at(t) < quarters) sums[at(t)]! += of[t]!;
    return sums;
  };
  const shares = (of: Float64Array): Float64Array => {
    const sums = empty();
    for (let t = 0; t < of.length; t++) {
      const [from, to] = [t * weeks, (t + 1) * weeks];
      for (let q = at(t); q < quarters && q * QUARTER_WEEKS < to; q++) {
        const inside = Math.min(to, (q + 1) * QUARTER_WEEKS) - Math.max(from, q * QUARTER_WEEKS);
        sums[q]! += ((of[t]! / weeks) * Math.max(0, inside)) / QUARTER_WEEKS;
      }
    }
    return sums;
  };
  return {
    isNew: false,
    now: { cleanings: amounts.cleanings[0]!, replacements: amounts.replacements[0]! },
    cleanings: events(amounts.cleanings),
    replacements: events(amounts.replacements),
    trouble: amounts.trouble.map(({ low, open, intermittent }) => ({
      low: shares(low),
      open: shares(open),
      intermittent: shares(intermittent),
    })),
  };
}

/** Follows groups by rules, each way once: what several options share is not reckoned twice. */
export class Tracks {
  private readonly chains = new Map<string, ContactChain>();
  private readonly starts = new Map<UpkeepGroup, readonly Float64Array[]>();
  private readonly kept = new Map<UpkeepGroup, Map<string, Track>>();
  private readonly fresh = new Map<string, Track>();
  private readonly weeks: number;
  private readonly quarters: number;

  private readonly roughly: boolean;

  /**
   * @param weeks from one walk to the next
   * @param roughly good for ratios only
   */
  constructor(weeks: number, quarters: number, roughly = false) {
    this.roughly = roughly;
    this.weeks = weeks;
    this.quarters = quarters;
  }

  private chainOf({ kind, law }: UpkeepGroup): ContactChain {
    const known = this.chains.get(kind);
    if (known !== undefined) return known;
    const grids = levelGrids(law, this.weeks, this.roughly ? roughNodes : undefined);
    const chain = contactChain(law, this.weeks, grids);
    this.chains.set(kind, chain);
    return chain;
  }

  private get walks(): number {
    return Math.ceil((this.quarters * QUARTER_WEEKS) / this.weeks);
  }

  /** What stands there, kept so. */
  keep(group: UpkeepGroup, keeping: Keeping): Track {
    if (keeping.first === "replace") return this.replaceNow(group);
    const tracks = this.kept.get(group) ?? new Map<string, Track>();
    this.kept.set(group, tracks);
    const key = JSON.stringify(keeping);
    const known = tracks.get(key);
    if (known !== undefined) return known;
    const ruleOf: RuleOf = ({ rule }) => keeping.rule ?? rule;
    const chain = this.chainOf(group);
    const starts = this.starts.get(group) ?? startsOf(group, chain);
    this.starts.set(group, starts);
    const contacts = asTheyAre(group, chain, ruleOf, starts);
    const amounts = followRule(contacts, this.walks, keeping.first, this.roughly);
    const track = inQuarters(amounts, this.weeks, this.quarters);
    tracks.set(key, track);
    return track;
  }

  /** A new connector fitted now, kept by its kind's own rule; its fitting is in `now`. */
  replaceNow(group: UpkeepGroup): Track {
    const shape = group.contacts.map(({ copies, ruleWhenNew }) => [copies, ruleWhenNew]);
    const key = `${group.kind} ${JSON.stringify(shape)}`;
    const known = this.fresh.get(key);
    if (known !== undefined) return known;
    const contacts = whenNew(group, this.chainOf(group));
    const amounts = followRule(contacts, this.walks, "wait", this.roughly);
    const track = inQuarters(amounts, this.weeks, this.quarters);
    const fitted = { ...track, isNew: true, now: { cleanings: 0, replacements: 1 } };
    this.fresh.set(key, fitted);
    return fitted;
  }
}
