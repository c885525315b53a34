import type { ContactLaw } from "../../src/policy/contact-law.ts";
import type { ReadingRule, ReadingView } from "../../src/policy/reading-rule.ts";
import { slowCdf } from "./slow-policy.ts";

/**
 * A rule followed a second time, the slow way: chances of exact states in a list, walk by walk, every
 * outcome written out, no grid and no classes side by side. Lives without memory, no storms.
 */
interface Place {
  readonly mode: number;
  /** What conducts is cured, and so film for certain until it fouls anew, or film, or oxide. */
  readonly kind:
    | "cured"
    | "film"
    | "oxide"
    | "open"
    | "open-for-good"
    | "intermittent"
    | "loose-for-good";
  readonly level: number;
  /** Failed cleanings in a row. */
  readonly failed: number;
}
type Chances = Map<string, { readonly at: Place; chance: number }>;

/** One contact, or several of it that count alike. */
export interface SlowContact {
  readonly law: ContactLaw;
  readonly view: ReadingView;
  readonly rule: ReadingRule;
  readonly copies: number;
}

/** Per walk, and of each contact the weeks of trouble behind it. */
export interface SlowAmounts {
  readonly cleanings: number[];
  readonly replacements: number[];
  readonly trouble: readonly {
    readonly low: number[];
    readonly open: number[];
    readonly intermittent: number[];
  }[];
}

const put = (to: Chances, at: Place, chance: number): void => {
  if (chance === 0) return;
  const key = `${at.mode} ${at.kind} ${at.level.toFixed(9)} ${at.failed}`;
  const known = to.get(key);
  if (known === undefined) to.set(key, { at, chance });
  else known.chance += chance;
};

const conducts = ({ kind }: Place): boolean =>
  kind === "cured" || kind === "film" || kind === "oxide";

/** P(the path reads under so many volts). */
function readsUnder({ view }: SlowContact, at: Place, volts: number | null): number {
  if (volts === null) return 0;
  if (conducts(at)) return slowCdf((volts - view.volts(at.level)) / view.noise);
  return at.kind.startsWith("open") ? (volts > 0 ? 1 : 0) : view.badShare;
}

/** A new contact, or one that was mended, or one that fouls as a new one does: film or oxide. */
function asNew(
  { law }: SlowContact,
  to: Chances,
  mode: number,
  nodes: ContactLaw["floor"],
  failed: number,
  chance: number,
): void {
  for (const { value, weight } of nodes) {
    put(to, { mode, kind: "film", level: value, failed }, chance * weight * (1 - law.oxide));
    put(to, { mode, kind: "oxide", level: value, failed }, chance * weight * law.oxide);
  }
}

function renew(contact: SlowContact, to: Chances, chance: number): void {
  for (const [mode, { weight }] of contact.law.modes.entries())
    asNew(contact, to, mode, contact.law.floor, 0, chance * weight);
}

const asks = (contact: SlowContact, at: Place): number => {
  const { leaveAfter, cleanUnder } = contact.rule;
  return leaveAfter !== null && at.failed >= leaveAfter ? 0 : readsUnder(contact, at, cleanUnder);
};

/** One walk's work; returns P(replaced). */
function worked(contact: SlowContact, now: Chances, others: number): [Chances, number] {
  const { law, rule } = contact;
  const out: Chances = new Map();
  let replaced = 0;
  for (const { at, chance } of now.values()) {
    const own = asks(contact, at);
    if (rule.first === "replace") {
      replaced += chance * own;
      put(out, at, chance * (1 - own));
      continue;
    }
    const cleaned = chance * (1 - (1 - own) * (1 - others));
    put(out, at, chance - cleaned);
    const after: Chances = new Map();
    const { mode, failed } = at;
    if (at.kind === "open" || at.kind === "intermittent")
      asNew(contact, after, mode, law.floor, failed, cleaned);
    else {
      const cured = at.kind === "cured" || at.kind === "film" ? law.cure : 0;
      for (const { value, weight } of law.floor)
        put(after, { mode, kind: "cured", level: value, failed }, cleaned * cured * weight);
      put(after, at, cleaned * (1 - cured));
    }
    // It is read once more: replaced, or failed once more, or fine.
    const last = rule.replaceAfter !== null && failed + 1 >= rule.replaceAfter;
    for (const { at: then, chance: share } of after.values()) {
      const low = readsUnder(contact, then, rule.cleanUnder);
      const tooLow = readsUnder(contact, then, rule.replaceUnder);
      const goes = last ? Math.max(low, tooLow) : tooLow;
      replaced += share * goes;
      put(out, { ...then, failed: failed + 1 }, share * Math.max(0, low - goes));
      put(out, { ...then, failed: 0 }, share * (1 - Math.max(low, goes)));
    }
  }
  return [out, replaced];
}

/** On to the next walk, the body holding: trouble in weeks, and where it then stands. */
function onward(contact: SlowContact, now: Chances, weeks: number) {
  const { law } = contact;
  const p = (perWeek: number): number => 1 - Math.exp(-perWeek * weeks);
  const out: Chances = new Map();
  const trouble = { low: 0, open: 0, intermittent: 0 };
  const low = (level: number): number => slowCdf((level - law.limit.logOhms) / law.limit.scatter);
  for (const { at, chance } of now.values()) {
    if (!conducts(at)) {
      trouble[at.kind.startsWith("open") ? "open" : "intermittent"] += chance * weeks;
      const mends = p(law.rates.mends);
      put(out, at, chance * (1 - mends));
      asNew(contact, out, at.mode, law.floor, at.failed, chance * mends);
      continue;
    }
    const { kind, rate } = law.modes[at.mode]!;
    const grown =
      kind === "flat"
        ? at.level
        : kind === "log"
          ? at.level + rate * weeks
          : Math.log(Math.exp(at.level) + rate * weeks);
    trouble.low += (chance * weeks * (low(at.level) + low(grown))) / 2;
    const opens = p(law.rates.open);
    const comes = (1 - opens) * p(law.rates.intermittent);
    const fouls = (1 - opens - comes) * p(law.rates.fouled);
    put(out, { ...at, kind: "open" }, chance * opens * law.mendable);
    put(out, { ...at, kind: "open-for-good" }, chance * opens * (1 - law.mendable));
    put(out, { ...at, kind: "intermittent" }, chance * comes * law.mendable);
    put(out, { ...at, kind: "loose-for-good" }, chance * comes * (1 - law.mendable));
    if (at.kind === "cured") asNew(contact, out, at.mode, law.fouled, at.failed, chance * fouls);
    else
      for (const { value, weight } of law.fouled)
        put(out, { ...at, level: value }, chance * fouls * weight);
    put(out, { ...at, level: grown }, chance * (1 - opens - comes - fouls));
  }
  return { out, trouble };
}

const scaled = (now: Chances, share: number): Chances =>
  new Map([...now].map(([key, { at, chance }]) => [key, { at, chance: chance * share }]));

/**
 * Follows contacts of one connector for so many walks: cleaned and replaced together, whichever asks,
 * the others' asking taken as independent of where one stands.
 */
export function slowFollow(
  contacts: readonly SlowContact[],
  weeks: number,
  walks: number,
  first: "clean" | "wait" | "by-reading",
  start: readonly (readonly (readonly [Omit<Place, "failed">, number])[])[],
): SlowAmounts {
  const row = (): number[] => Array.from({ length: walks }, () => 0);
  const [cleanings, replacements] = [row(), row()];
  const trouble = contacts.map(() => ({ low: row(), open: row(), intermittent: row() }));
  let all = start.map((own) => {
    const chances: Chances = new Map();
    for (const [at, chance] of own) put(chances, { ...at, failed: 0 }, chance);
    return chances;
  });
  for (let t = 0; t < walks; t++) {
    const { cleanEvery } = contacts[0]!.rule;
    const calendar =
      cleanEvery !== null &&
      (t === 0 ||
        Math.floor((t * weeks) / cleanEvery) > Math.floor(((t - 1) * weeks) / cleanEvery));
    const act = t === 0 ? first : "by-reading";
    if (act !== "wait") {
      const due = act === "clean" || calendar;
      const quiet = contacts.map((each, k) => {
        if (due) return 0;
        let sum = 0;
        if (each.rule.first === "clean")
          for (const { at, chance } of all[k]!.values()) sum += chance * asks(each, at);
        return 1 - sum;
      });
      const nobodyBut = (one: number): number =>
        contacts.reduce(
          (left, { copies }, k) => left * quiet[k]! ** (k === one ? copies - 1 : copies),
          1,
        );
      cleanings[t]! += 1 - nobodyBut(0) * quiet[0]!;
      const done = contacts.map((each, k) => worked(each, all[k]!, due ? 1 : 1 - nobodyBut(k)));
      const keptBut = (one: number): number =>
        contacts.reduce(
          (left, { copies }, k) => left * (1 - done[k]![1]) ** (k === one ? copies - 1 : copies),
          1,
        );
      replacements[t]! += 1 - keptBut(0) * (1 - done[0]![1]);
      all = contacts.map((each, k) => {
        const [chances, replaced] = done[k]!;
        renew(each, chances, replaced);
        const stays = scaled(chances, keptBut(k));
        renew(each, stays, 1 - keptBut(k));
        return stays;
      });
    }
    all = contacts.map((each, k) => {
      const breaks = 1 - Math.exp(-weeks / each.law.life.scale);
      const { out, trouble: own } = onward(each, all[k]!, weeks);
      trouble[k]!.low[t] = (1 - breaks) * own.low;
      trouble[k]!.open[t] = (1 - breaks) * own.open + (breaks * weeks) / 2;
      trouble[k]!.intermittent[t] = (1 - breaks) * own.intermittent;
      if (k === 0 && t + 1 < walks) replacements[t + 1]! += breaks;
      const next = scaled(out, 1 - breaks);
      renew(each, next, breaks);
      return next;
    });
  }
  return { cleanings, replacements, trouble };
}
