import type { CircuitName } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import { STRUCK } from "../intake/strikes.ts";
import { addWork, type EnteredWork, type LoggedWork, takeBackWork, workFault } from "./add-work.ts";
import { contentsOf } from "./contents.ts";
import { addLine, aloneText, type DeckLog, freshLine, type LogLine } from "./deck-logs.ts";
import { localMoment } from "./local-time.ts";
import { type KeptFile, newFile, newRecord, type PoolRecord } from "./record.ts";

/** The pool in hand, and how it is changed on disk. */
export interface InHand {
  readonly record: PoolRecord | null;
  readonly pool: Pool | null;
  changeFiles(how: (now: PoolRecord) => PoolRecord): Promise<void>;
}

const noPool = "there is no pool in hand";

/** Writes lines into the logs of the pool in hand: work, touches, pads, parts. */
export class LogWriter {
  readonly #in: InHand;

  constructor(inHand: InHand) {
    this.#in = inHand;
  }

  /** Adds a row to a log of the deck day; resolves with what is wrong with it, or null once it is on disk. */
  line(log: DeckLog, line: LogLine): Promise<string | null> {
    return this.#lines(log, [line], line);
  }

  /**
   * Strikes a row of such a log out, and puts another in its stead where one is given; resolves with
   * what is wrong with that one, or null. The row stays where it is, and counts no more.
   */
  async strike(log: DeckLog, line: LogLine, instead: LogLine | null): Promise<string | null> {
    const strike = { ...line, state: STRUCK };
    if (instead === null) return this.#lines(log, [strike], line);
    const fresh = freshLine(log, this.#in.record?.[log] ?? null, instead);
    if (fresh === null) return "a row that says the same was struck out before";
    return this.#lines(log, [strike, fresh], fresh);
  }

  async #lines(log: DeckLog, lines: readonly LogLine[], judged: LogLine): Promise<string | null> {
    const { record, pool } = this.#in;
    if (record === null || pool === null) return noPool;
    const alone = newFile("row", aloneText(log, judged));
    const read = contentsOf({ ...newRecord("", "", record.pool), [log]: alone });
    const wrong = read.rejectedWork[0]?.reason ?? read.faults[0]?.message ?? null;
    if (wrong !== null) return wrong;
    await this.#in.changeFiles((now) => ({
      ...now,
      [log]: lines.reduce<KeptFile | null>((file, line) => addLine(log, file, line), now[log]),
    }));
    return null;
  }

  /**
   * Writes a line of the work log; resolves with what is wrong with it, or null once it is on disk.
   * Work ends the walk for what it touched: readings after it are of another path than those before.
   */
  async work(
    entered: EnteredWork,
    recheck: readonly CircuitName[] = [],
    of: LoggedWork["of"] = null,
  ): Promise<string | null> {
    const { record, pool } = this.#in;
    if (record === null || pool === null) return noPool;
    const wrong = workFault(entered, pool);
    if (wrong !== null) return wrong;
    if (addWork(record.work, entered) === null)
      return "the imported work log has no column for all of it, or is not UTF-8";
    await this.#in.changeFiles((now) => ({
      ...now,
      work: addWork(now.work, entered),
      logged: [...now.logged, { entered, recheck, of }],
    }));
    return null;
  }

  /** Takes back the last line that this page wrote in the work log; gives that line. */
  async undoWork(): Promise<EnteredWork | null> {
    const last = this.#in.record?.logged.at(-1);
    if (last === undefined) return null;
    const note = `takes back: ${last.entered.action}; on ${localMoment(new Date())}`;
    await this.#in.changeFiles((now) => ({
      ...now,
      work: now.work === null ? null : takeBackWork(now.work, last.entered, note),
      logged: now.logged.slice(0, -1),
    }));
    return last.entered;
  }
}
