import { normalCdf, normalDensity } from "../distributions/normal.ts";
import { dayText } from "../domain/calendar.ts";
import type { Estimate } from "../domain/findings.ts";
import type { ChainLink, Lane, LogNormal, Pool } from "../domain/pool.ts";
import type { ContactHistory, Observation, Segment, Sight } from "./contact-history.ts";

/** One cleaning, scored on one contact from the walks before and after it. */
export interface CleaningScore {
  /** The contact it is scored on: for a connector, the one that was worst before. */
  readonly lane: Lane;
  readonly device: string;
  readonly point: string;
  /** Day number of the cleaning (see domain/calendar.ts). */
  readonly day: number;
  /** The same as text, `YYYY-MM-DD`. */
  readonly date: string;
  /** Minutes that it took, where the log says so [min]. */
  readonly minutes: number | null;
  /** In the last walk before [Ω]; null where there was none since the work before. */
  readonly beforeOhms: Estimate | null;
  /** In the first walk after [Ω]; null where there is none before the next work. */
  readonly afterOhms: Estimate | null;
  /** P(fouled or open before it): how much there was to cure. */
  readonly hadTrouble: number;
  /**
   * P(the trouble was film | there was trouble, and what the walks showed); that of the class where
   * no walk shows what came of it.
   */
  readonly film: number;
  /** Share of the rise (in log ohms, over the floor) that went: 1 all, 0 none, below 0 worse. */
  readonly recovered: number | null;
  /** Weeks from the cleaning to the first walk that found trouble again, or for as long as known. */
  readonly weeksHeld: number | null;
  /** What ended `weeksHeld`: anything but `trouble` makes it a lower bound. */
  readonly heldUntil: "trouble" | "next work" | "last walk" | null;
}

/**
 * A beta-binomial record of cleanings: P(the trouble is film) ~ Beta(alpha, beta).
 *
 * A cleaning adds `hadTrouble * film` to alpha and `hadTrouble * (1 - film)` to beta, so one that
 * had nothing to cure adds nothing, nor does one without a walk before and after it. The prior is
 * included, so both are positive without a record.
 */
export interface FilmRecord {
  readonly alpha: number;
  readonly beta: number;
  /** Oldest first. */
  readonly cleanings: readonly CleaningScore[];
}

/** Record of one circuit's contact; its prior is its connector class's record, watered down. */
export interface ContactRecord extends FilmRecord {
  readonly lane: Lane;
  readonly device: string;
  readonly point: string;
}

/** Record of one connector body; its prior is its class's record, watered down. */
export interface ConnectorRecord extends FilmRecord {
  readonly connector: string;
  readonly point: string;
  /** Null where the whole pool shares it. */
  readonly lane: Lane | null;
  /** Null where a lane or the pool shares it. */
  readonly device: string | null;
}

/** Record of all connectors at one link of the chain. */
export interface ClassRecord extends FilmRecord {
  readonly connector: string;
  readonly point: string;
}

/** What cleaning has done so far, where the next decision starts from. */
export interface CleaningRecord {
  /** Every contact of every circuit that the walks have read. */
  readonly contacts: readonly ContactRecord[];
  /** Every connector that those circuits pass. */
  readonly connectors: readonly ConnectorRecord[];
  /** In the order of the chain. */
  readonly classes: readonly ClassRecord[];
}

/** Film is taken to be twice as common as worn metal, worth three cleanings. Judgement. */
const BEFORE = { alpha: 2, beta: 1 } as const;
/** What a class's record is worth to one of its connectors, at most [cleanings]. */
const WORTH_OF_CLASS = 4;
/** Standard deviation by which cleaning moves a contact whose trouble is not film [ln ohm]. */
const METAL_MOVES = 0.5;
/** P(trouble) from which a walk counts as having found it again. */
const TROUBLE = 0.5;

/** Likelihood of what a walk showed, for a contact at `mean` ln ohms, give or take. */
function likelihood(sight: Sight, mean: number, variance: number): number {
  switch (sight.kind) {
    case "unseen":
      return 1;
    case "resolved": {
      const sd = Math.sqrt(variance + sight.error ** 2);
      return normalDensity((sight.logOhms - mean) / sd) / sd;
    }
    case "bound": {
      const sd = Math.sqrt(variance);
      return normalCdf((sight.high - mean) / sd) - normalCdf((sight.low - mean) / sd);
    }
  }
}

/** ln ohms of an observation, as well as it is known, and its variance. */
function about({ sight, ohms }: Observation): { mean: number; variance: number } {
  if (sight.kind === "resolved") return { mean: sight.logOhms, variance: sight.error ** 2 };
  if (Number.isFinite(ohms.median)) return { mean: Math.log(ohms.median), variance: 1 };
  return { mean: sight.kind === "bound" ? sight.low : 0, variance: 1 };
}

/** A cleaning with the two likelihoods that its film probability is made of. */
interface Case {
  readonly score: Omit<CleaningScore, "film">;
  readonly ifFilm: number;
  readonly ifMetal: number;
}

const weightOf = ({ score }: Case): number =>
  score.beforeOhms === null || score.afterOhms === null ? 0 : score.hadTrouble;

const filmOf = ({ ifFilm, ifMetal }: Case, share: number): number => {
  const film = share * ifFilm;
  const total = film + (1 - share) * ifMetal;
  return total > 0 ? film / total : share;
};

function held(
  segment: Segment,
  next: Segment | undefined,
): Pick<CleaningScore, "weeksHeld" | "heldUntil"> {
  const { observations } = segment;
  const again = observations.findIndex(({ trouble }) => trouble > TROUBLE);
  if (again >= 0) {
    // Trouble in the very first walk: it never held.
    return { weeksHeld: again === 0 ? 0 : observations[again]!.weeks, heldUntil: "trouble" };
  }
  if (observations.length === 0) return { weeksHeld: null, heldUntil: null };
  return next === undefined
    ? { weeksHeld: observations.at(-1)!.weeks, heldUntil: "last walk" }
    : { weeksHeld: (next.begun - segment.begun) / 7, heldUntil: "next work" };
}

/** Every cleaning of one contact. */
function casesOf(history: ContactHistory, sound: LogNormal): readonly Case[] {
  const { lane, device, point, segments } = history;
  const floor = Math.log(sound.medianOhms);
  return segments.flatMap((segment, s): Case[] => {
    if (segment.begunBy !== "cleaned") return [];
    const before = segments[s - 1]?.observations.at(-1);
    const after = segment.observations[0];
    const was = before && about(before);
    const is = after && about(after);
    const moved = was && is && was.mean > floor ? (was.mean - is.mean) / (was.mean - floor) : null;
    const both = was !== undefined && after !== undefined;
    return [
      {
        score: {
          lane,
          device,
          point,
          day: segment.begun,
          date: dayText(segment.begun),
          minutes: segment.minutes,
          beforeOhms: before?.ohms ?? null,
          afterOhms: after?.ohms ?? null,
          hadTrouble: before?.trouble ?? 0,
          recovered: moved,
          ...held(segment, segments[s + 1]),
        },
        ifFilm: both ? likelihood(after.sight, floor, sound.logSd ** 2) : 1,
        ifMetal: both ? likelihood(after.sight, was.mean, was.variance + METAL_MOVES ** 2) : 1,
      },
    ];
  });
}

/** Cases of one connector: of each cleaning day, the contact that was worst before. */
function worstOfDay(cases: readonly Case[]): readonly Case[] {
  const byDay = new Map<number, Case>();
  for (const one of cases) {
    const other = byDay.get(one.score.day);
    if (other === undefined || badness(one) > badness(other)) byDay.set(one.score.day, one);
  }
  return [...byDay.values()].sort((a, b) => a.score.day - b.score.day);
}

/** Trouble first, then ohms on a scale that never outweighs it. */
const badness = ({ score }: Case): number =>
  score.hadTrouble + 1e-3 * Math.min(20, Math.log1p(score.beforeOhms?.median ?? 0));

interface Counts {
  readonly film: number;
  readonly metal: number;
}

function countsOf(cases: readonly Case[], share: number): Counts {
  let [film, metal] = [0, 0];
  for (const one of cases) {
    film += weightOf(one) * filmOf(one, share);
    metal += weightOf(one) * (1 - filmOf(one, share));
  }
  return { film, metal };
}

/** Share of film in a class: each cleaning's chance and the share settle each other (EM). */
function shareOfFilm(cases: readonly Case[]): number {
  let share = BEFORE.alpha / (BEFORE.alpha + BEFORE.beta);
  for (let round = 0; round < 100; round++) {
    const { film, metal } = countsOf(cases, share);
    share = (BEFORE.alpha + film) / (BEFORE.alpha + BEFORE.beta + film + metal);
  }
  return share;
}

const scored = (cases: readonly Case[], share: number): readonly CleaningScore[] =>
  cases.map((one) => ({ ...one.score, film: filmOf(one, share) }));

/** A member's record: what the rest of its class has shown, watered down, and its own cleanings. */
function memberRecord(cases: readonly Case[], share: number, all: Counts, of: Counts): FilmRecord {
  const alpha = BEFORE.alpha + all.film - of.film;
  const beta = BEFORE.beta + all.metal - of.metal;
  const worth = Math.min(1, WORTH_OF_CLASS / (alpha + beta));
  const own = countsOf(cases, share);
  return {
    alpha: worth * alpha + own.film,
    beta: worth * beta + own.metal,
    cleanings: scored(cases, share),
  };
}

interface Member {
  readonly history: ContactHistory;
  readonly cases: readonly Case[];
}

/** Contacts of one link, grouped by the connector body that they sit in. */
function bodies(link: ChainLink, members: readonly Member[]): readonly (readonly Member[])[] {
  const groups = new Map<string, Member[]>();
  for (const member of members) {
    const { lane, device } = member.history;
    const key = { pool: "", lane: `${lane}`, device: JSON.stringify([lane, device]) }[
      link.sharedBy
    ];
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [member]);
    else group.push(member);
  }
  return [...groups.values()];
}

function recordOfLink(link: ChainLink, members: readonly Member[]): CleaningRecord {
  const { connector, point, sharedBy } = link;
  const groups = bodies(link, members).map((group) => ({
    group,
    cases: worstOfDay(group.flatMap(({ cases }) => cases)),
  }));
  const every = groups.flatMap(({ cases }) => cases).sort((a, b) => a.score.day - b.score.day);
  const share = shareOfFilm(every);
  const all = countsOf(every, share);
  return {
    contacts: groups.flatMap(({ group, cases }) => {
      const of = countsOf(cases, share);
      return group.map(({ history: { lane, device }, cases: own }) => ({
        lane,
        device,
        point,
        ...memberRecord(own, share, all, of),
      }));
    }),
    connectors: groups.map(({ group, cases }) => ({
      connector,
      point,
      lane: sharedBy === "pool" ? null : group[0]!.history.lane,
      device: sharedBy === "device" ? group[0]!.history.device : null,
      ...memberRecord(cases, share, all, countsOf(cases, share)),
    })),
    classes: [
      {
        connector,
        point,
        alpha: BEFORE.alpha + all.film,
        beta: BEFORE.beta + all.metal,
        cleanings: scored(every, share),
      },
    ],
  };
}

/**
 * Scores every cleaning from the walks before and after it.
 *
 * Film comes off: the contact is then a sound one of the pool file. Worn or oxidised metal stays:
 * the contact is then about where it was. The walk after the cleaning tells the two apart, a
 * reading that is only bounded by as much as the bound says. How common film is at each link is
 * learnt from all its cleanings together. Only works logged as `cleaned` count.
 */
export function cleaningRecord(pool: Pool, histories: readonly ContactHistory[]): CleaningRecord {
  const members = histories.map((history) => ({
    history,
    cases: casesOf(history, pool.contact.sound),
  }));
  const links = pool.chain.map((link) =>
    recordOfLink(
      link,
      members.filter(({ history }) => history.point === link.point),
    ),
  );
  return {
    contacts: links.flatMap(({ contacts }) => contacts),
    connectors: links.flatMap(({ connectors }) => connectors),
    classes: links.flatMap(({ classes }) => classes),
  };
}
