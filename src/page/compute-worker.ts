import type { WalkDiagnosis } from "../domain/findings.ts";
import type { Pool } from "../domain/pool.ts";
import type { Reading } from "../domain/reading.ts";
import type { WorkEntry } from "../domain/work.ts";
import { diagnose, type NextAdvice, nextOf, nextReadings } from "../rooms/diagnosis-room.ts";
import {
  type Question as Asked,
  type Keeper,
  spelt,
  walkStarts,
  walksOf,
} from "../rooms/season-room.ts";
import { answerSeason, type SeasonMessage, type SeasonQuestion } from "./season-task.ts";

/**
 * The script that computes. The page carries it packed, and starts it as a worker; where a browser
 * starts none it runs in the page, under the name that `compute.ts` asks for.
 */

/** One walk to diagnose. */
export interface Question {
  readonly pool: Pool;
  /** All walks' readings, and what was done: what a walk starts from. */
  readonly season: readonly Reading[];
  readonly work: readonly WorkEntry[];
  /** The readings of the walk to diagnose. */
  readonly readings: readonly Reading[];
  /** The readings of the walk that goes on, for what to read next: the same list where it is that walk. */
  readonly upcoming: readonly Reading[];
}

/** Messages between the page and its worker; `turn` says which question an answer belongs to. */
export type ToWorker = Question & { readonly turn: number };
export type FromWorker =
  | {
      readonly turn: number;
      readonly part: "diagnosis";
      readonly diagnosis: WalkDiagnosis;
      /** How long the diagnosis itself took [ms]. */
      readonly took: number;
    }
  | { readonly turn: number; readonly part: "next"; readonly next: NextAdvice }
  | { readonly turn: number; readonly part: "failed"; readonly why: string };

/** The pool in hand: what was worked out for it is kept with the object, and messages are copies. */
let known: { readonly text: string; readonly pool: Pool } | null = null;

function samePool(pool: Pool): Pool {
  const text = JSON.stringify(pool);
  if (known?.text !== text) known = { text, pool };
  return known.pool;
}

/** As many places as any pool has: which of them are wanted is the page's to say. */
const MOST = 10_000;

/** Answers one question, the ranking first: it is what people look at. */
function answer(question: ToWorker, tell: (message: FromWorker) => void): void {
  const { turn, readings, upcoming, season, work } = question;
  const pool = samePool(question.pool);
  try {
    const start = performance.now();
    const startFor = startsOf(pool, season, work);
    const diagnosis = diagnose(pool, readings, true, startFor(readings));
    tell({ turn, part: "diagnosis", diagnosis, took: performance.now() - start });
    const next =
      upcoming === readings
        ? nextOf(pool, readings, diagnosis, MOST)
        : nextReadings(pool, upcoming, MOST, undefined, startFor(upcoming));
    tell({ turn, part: "next", next });
  } catch (error) {
    tell({ turn, part: "failed", why: error instanceof Error ? error.message : String(error) });
  }
}

/** What walks say by themselves, by the pool in hand: earlier walks seldom change. */
let alone: { readonly pool: Pool; readonly keeper: Keeper } | null = null;

/** Holds answers about one pool for as long as this script runs. */
function inMemory(): Keeper {
  const held = new Map<string, unknown>();
  const keyOf = ({ what, walk, from: [, ...others] }: Asked): string =>
    `${what} ${walk} ${spelt(others)}`;
  return {
    known: <T>(question: Asked) => held.get(keyOf(question)) as T | undefined,
    keep: (question, answer) => void held.set(keyOf(question), answer),
  };
}

/** What a walk starts from, by its readings. */
function startsOf(pool: Pool, season: readonly Reading[], work: readonly WorkEntry[]) {
  if (alone?.pool !== pool) alone = { pool, keeper: inMemory() };
  const walks = walksOf(pool, season, work);
  const startOf = walkStarts(pool, walks, work, alone.keeper);
  return (readings: readonly Reading[]) => {
    const walk = walks.find((one) => one.walk === readings[0]?.walk);
    return walk === undefined ? null : startOf(walk);
  };
}

interface Port {
  onmessage: (event: MessageEvent<ToWorker | SeasonQuestion>) => void;
  postMessage(message: FromWorker | SeasonMessage): void;
}

if (typeof document === "undefined") {
  const port = globalThis as unknown as Port;
  port.onmessage = ({ data }) => {
    if ("task" in data) answerSeason(data, (message) => port.postMessage(message));
    else answer(data, (message) => port.postMessage(message));
  };
} else Object.assign(globalThis, { dropwiseAnswer: answer });
