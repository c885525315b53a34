import { assumedAgeing } from "../domain/assumed-ageing.ts";
import type { Connector } from "../domain/circuit.ts";
import {
  type CircuitName,
  circuitName,
  circuitOf,
  connectorAt,
  type Place,
} from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import {
  type Case,
  type CleaningScore,
  casesOf,
  filmOf,
  type Growth,
  weightOf,
} from "./cleaning-score.ts";
import type { ContactHistory } from "./contact-history.ts";

export type { CleaningScore } from "./cleaning-score.ts";

/**
 * A beta-binomial record of cleanings: P(the trouble is film) ~ Beta(alpha, beta).
 *
 * A cleaning adds `hadTrouble * film` to alpha and `hadTrouble * (1 - film)` to beta, so one that
 * had nothing to cure adds nothing, nor does one without a walk before and after it. The prior is
 * included, so both are positive without a record.
 */
export interface FilmRecord {
  /** Beta's first shape: cleanings that cured, the prior's share with them [1; over 0]. */
  readonly alpha: number;
  /** Beta's second shape: those that did not [1; over 0]. */
  readonly beta: number;
  /** Oldest first. */
  readonly cleanings: readonly CleaningScore[];
}

/** P(the trouble is film): the mean of the record's beta distribution. */
export const filmShare = ({ alpha, beta }: Pick<FilmRecord, "alpha" | "beta">): number =>
  alpha / (alpha + beta);

/** Record of one circuit's contact; its prior is its connector class's record, watered down. */
export interface ContactRecord extends FilmRecord, CircuitName {
  readonly point: string;
}

/** Record of one connector body; its prior is its class's record, watered down. */
export interface ConnectorRecord extends FilmRecord, Place {
  readonly connector: string;
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

const { film: FILM, filmWorth: WORTH } = assumedAgeing;
/** Before any cleaning was seen. */
const BEFORE = {
  alpha: FILM.value * WORTH.value,
  beta: (1 - FILM.value) * WORTH.value,
} as const;
/** What a class's record is worth to one of its connectors, at most [cleanings]. */
const WORTH_OF_CLASS = 4;
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
  let share = filmShare(BEFORE);
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

/** Contacts at one point, grouped by the connector body that they sit in. */
function bodies(
  pool: Pool,
  point: string,
  members: readonly Member[],
): readonly { readonly body: Connector; readonly group: readonly Member[] }[] {
  const groups = new Map<Connector, Member[]>();
  for (const member of members) {
    const body = connectorAt(circuitOf(pool, member.history)!, point)!;
    const group = groups.get(body);
    if (group === undefined) groups.set(body, [member]);
    else group.push(member);
  }
  return [...groups].map(([body, group]) => ({ body, group }));
}

function recordAtPoint(pool: Pool, point: string, members: readonly Member[]): CleaningRecord {
  const connector = pool.connectors.find((one) => one.point === point)!.name;
  const groups = bodies(pool, point, members).map(({ body, group }) => ({
    body,
    group,
    cases: worstOfDay(group.flatMap(({ cases }) => cases)),
  }));
  const every = groups.flatMap(({ cases }) => cases).sort((a, b) => a.score.day - b.score.day);
  const share = shareOfFilm(every);
  const all = countsOf(every, share);
  return {
    contacts: groups.flatMap(({ group, cases }) => {
      const of = countsOf(cases, share);
      return group.map(({ history, cases: own }) => ({
        ...circuitName(history),
        point,
        ...memberRecord(own, share, all, of),
      }));
    }),
    connectors: groups.map(({ body, cases }) => ({
      ...body.place,
      connector: body.name,
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
 * learnt from all its cleanings together. Only works logged as `cleaned` count. `growthOf` tells how
 * a contact grows between walks; without it, none does.
 */
export function cleaningRecord(
  pool: Pool,
  histories: readonly ContactHistory[],
  growthOf: (history: ContactHistory) => Growth = () => ({ growth: 0, growthVariance: 0 }),
): CleaningRecord {
  const members = histories.map((history) => ({
    history,
    cases: casesOf(history, pool.contact.sound, growthOf(history)),
  }));
  const links = pool.points.map((point) =>
    recordAtPoint(
      pool,
      point,
      members.filter(({ history }) => history.point === point),
    ),
  );
  return {
    contacts: links.flatMap(({ contacts }) => contacts),
    connectors: links.flatMap(({ connectors }) => connectors),
    classes: links.flatMap(({ classes }) => classes),
  };
}
