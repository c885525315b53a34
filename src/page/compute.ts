import type { WalkDiagnosis } from "../domain/findings.ts";
import type { Pool } from "../domain/pool.ts";
import type { Reading } from "../domain/reading.ts";
import { diagnose, type NextAdvice, nextReadings } from "../rooms/diagnosis-room.ts";
import { answerSeason, type SeasonMessage, type SeasonQuestion } from "./season-task.ts";

/** One walk to diagnose. */
export interface Question {
  readonly pool: Pool;
  /** The readings of the walk to diagnose. */
  readonly readings: readonly Reading[];
  /** The readings of the walk that goes on, for what to read next. */
  readonly upcoming: readonly Reading[];
}

/** Messages between the page and its worker; `turn` says which question an answer belongs to. */
type ToWorker = Question & { readonly turn: number };
type FromWorker =
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
  const { turn, readings, upcoming } = question;
  const pool = samePool(question.pool);
  try {
    const start = performance.now();
    const diagnosis = diagnose(pool, readings);
    tell({ turn, part: "diagnosis", diagnosis, took: performance.now() - start });
    tell({ turn, part: "next", next: nextReadings(pool, upcoming, MOST) });
  } catch (error) {
    tell({ turn, part: "failed", why: error instanceof Error ? error.message : String(error) });
  }
}

/** The worker's side: the same script, started where there is no document. */
export function serve(): void {
  const port = globalThis as unknown as {
    onmessage: (event: MessageEvent<ToWorker | SeasonQuestion>) => void;
    postMessage(message: FromWorker | SeasonMessage): void;
  };
  port.onmessage = ({ data }) => {
    if ("task" in data) answerSeason(data, (message) => port.postMessage(message));
    else answer(data, (message) => port.postMessage(message));
  };
}

export interface Computer {
  /** Asks about a walk; what comes of an older question is no longer told. */
  ask(question: Question): void;
}

/**
 * Starts the page's own script once more as a worker, so that a diagnosis never holds up a finger.
 * Where a browser refuses workers the page computes itself, a moment after the tap is answered.
 * One question is out at a time; of those that come meanwhile only the last is asked.
 */
export function startComputer(
  script: string,
  onPart: (message: Exclude<FromWorker, { part: "failed" }>) => void,
  onFailure: (why: string) => void,
): Computer {
  let turn = 0;
  let last: Question | null = null;
  let sent = 0;
  let busy = false;
  let worker: Worker | "refused" | null = null;
  const receive = (message: FromWorker): void => {
    if (message.turn === turn) {
      if (message.part === "failed") onFailure(message.why);
      else onPart(message);
    }
    if (message.part === "diagnosis") return;
    busy = false;
    sendSoon();
  };
  const refused = (): void => {
    [worker, busy, sent] = ["refused", false, 0];
    sendSoon();
  };
  const send = (): void => {
    if (busy || last === null || sent === turn) return;
    worker ??= startWorker(script, receive, refused);
    [busy, sent] = [true, turn];
    const question = { ...last, turn };
    if (worker === "refused") answer(question, receive);
    else worker.postMessage(question);
  };
  // The page is drawn first; the worker's start would only hold up its first field.
  const sendSoon = (): void => void setTimeout(send, 0);
  return {
    ask(question) {
      turn += 1;
      last = question;
      sendSoon();
    },
  };
}

/** The worker, or `refused` where this browser starts none; `onRefused` where that shows later. */
function startWorker(
  script: string,
  receive: (message: FromWorker) => void,
  onRefused: () => void,
): Worker | "refused" {
  try {
    const url = URL.createObjectURL(new Blob([script], { type: "text/javascript" }));
    const worker = new Worker(url);
    worker.onmessage = ({ data }: MessageEvent<FromWorker>) => receive(data);
    worker.onerror = (event) => {
      event.preventDefault();
      onRefused();
    };
    return worker;
  } catch {
    return "refused";
  }
}
