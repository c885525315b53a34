import type { WalkDiagnosis } from "../domain/findings.ts";
import type { Pool } from "../domain/pool.ts";
import type { Reading } from "../domain/reading.ts";
import type { MemoInput } from "../report/memo-input.ts";
import type { NextAdvice } from "../rooms/diagnosis-room.ts";
import type { SeasonDecisions } from "../rooms/policy-room.ts";
import { addReading, type EnteredReading, faultOf } from "./add-reading.ts";
import { addWork, type EnteredWork, takeBackWork, workFault } from "./add-work.ts";
import { type Computer, startComputer } from "./compute.ts";
import { type Contents, contentsOf } from "./contents.ts";
import { localDay, localMoment } from "./local-time.ts";
import { plainNext, type Spot } from "./proposals.ts";
import { type KeptFile, type PoolRecord, sameRecord } from "./record.ts";
import { askSeason } from "./season-task.ts";
import { askToPersist, openStore, roomWarning, type Store } from "./store.ts";

export type ScreenName = "walk" | "result" | "files" | "pool";

/** What is known of the walk in hand. */
export interface Findings {
  readonly walk: string;
  readonly diagnosis: WalkDiagnosis;
  /** Clean or replace, once it was asked for; null before. */
  readonly decided: SeasonDecisions | null;
}

/**
 * Do the findings hold all that was read? `awaited`: not yet, they are being worked out again;
 * `failed`: no, and they won't.
 */
export type Ranking = "current" | "awaited" | "failed";

const currentKey = "dropwise-current";

/** All that the screens show, and all that they can do. One object; screens listen to it. */
export class App {
  pools: readonly PoolRecord[] = [];
  record: PoolRecord | null = null;
  contents: Contents | null = null;
  screen: ScreenName = "walk";
  /** The walk whose findings are shown; null: the latest. */
  shownWalk: string | null = null;
  findings: Findings | null = null;
  ranking: Ranking = "current";
  /** What to read next; null: not yet known for the readings in hand. */
  advice: NextAdvice | null = null;
  /** How long the latest ranking took, there and back, and how much of it was the diagnosis [ms]. */
  timing: { readonly total: number; readonly diagnosis: number } | null = null;
  /** The place that stands, whatever is proposed: the user chose it, or is writing its value down. */
  chosen: Spot | null = null;
  chosenBy: "tap" | "typing" = "tap";
  /** Standing warnings: storage, room, computation. */
  warnings: ReadonlyMap<string, string> = new Map();
  readonly #store: Store;
  readonly #computer: Computer;
  readonly #script: string;
  #listener: () => void = () => {};
  /** Who waits until the ranking is awaited no more. */
  #waiting: (() => void)[] = [];
  #askedAt = 0;
  #askedWalk = "";

  private constructor(store: Store, script: string) {
    this.#store = store;
    this.#script = script;
    if (store.trouble !== null) this.warn("store", store.trouble);
    this.#computer = startComputer(
      script,
      (message) => {
        if (message.part === "diagnosis") {
          const { diagnosis } = message;
          this.findings = { walk: diagnosis.walk, diagnosis, decided: null };
          const total = performance.now() - this.#askedAt;
          this.timing = { total, diagnosis: message.took };
          this.#settle("current");
        } else this.advice = message.next;
        this.warn("compute", null);
      },
      (why) => {
        this.advice = { readings: [], stop: null };
        // It may be the search for the next reading that failed, after the ranking came.
        if (this.ranking === "awaited") this.#settle("failed");
        this.warn("compute", `The diagnosis failed: ${why}. Your readings are kept.`);
      },
    );
  }

  /** Opens the storage and the pool that was last in hand. */
  static async open(script: string): Promise<App> {
    const app = new App(await openStore(), script);
    app.pools = await app.#store.all();
    const last = app.#lastId();
    const record = app.pools.find((one) => one.id === last) ?? app.pools[0] ?? null;
    if (record === null) app.screen = "pool";
    else app.#take(record);
    return app;
  }

  /** Loses everything when the page closes, and there is something to lose. */
  get losesAll(): boolean {
    return this.#store.trouble !== null && this.pools.length > 0;
  }

  get pool(): Pool | null {
    return this.contents?.pool ?? null;
  }

  /** Id of the walk that a new reading belongs to. */
  get walkNow(): string {
    const day = localDay(new Date());
    const named = this.record?.walk ?? null;
    return named?.startsWith(day) ? named : day;
  }

  /** All walks, in the order of the sheets. */
  get walks(): readonly string[] {
    return [...new Set((this.contents?.readings ?? []).map((reading) => reading.walk))];
  }

  /** The walk whose findings are shown: the chosen one, else the one in hand, else the latest. */
  get walkShown(): string | null {
    const walks = this.walks;
    if (this.shownWalk !== null && walks.includes(this.shownWalk)) return this.shownWalk;
    return walks.includes(this.walkNow) ? this.walkNow : (walks.at(-1) ?? null);
  }

  readingsOf(walk: string | null): readonly Reading[] {
    return (this.contents?.readings ?? []).filter((reading) => reading.walk === walk);
  }

  /** The place to read next: the user's, else the one that tells most, else the plain order. */
  get place(): Spot | null {
    const { pool, advice, chosen } = this;
    if (chosen !== null) return chosen;
    // Shown too early, a place could change under the finger that is typing its value.
    if (pool === null || advice === null) return null;
    return advice.readings[0] ?? plainNext(pool, this.readingsOf(this.walkNow));
  }

  listen(listener: () => void): void {
    this.#listener = listener;
  }

  changed(): void {
    this.#listener();
  }

  warn(about: string, words: string | null): void {
    const warnings = new Map(this.warnings);
    if (words === null) warnings.delete(about);
    else warnings.set(about, words);
    this.warnings = warnings;
    this.changed();
  }

  go(screen: ScreenName): void {
    this.screen = screen;
    this.changed();
  }

  showWalk(walk: string | null): void {
    this.shownWalk = walk;
    this.#ask();
    this.changed();
  }

  choose(place: Spot | null, by: "tap" | "typing" = "tap"): void {
    this.chosen = place;
    this.chosenBy = by;
    this.changed();
  }

  /** Stores a reading; resolves with what is wrong with it, or null once it is on disk. */
  async enter(entered: EnteredReading): Promise<string | null> {
    const { record, pool } = this;
    if (record === null || pool === null) return "there is no pool to read";
    const wrong = faultOf(entered, pool);
    if (wrong !== null) return wrong;
    await this.#change(record.id, (now) => {
      const { sheets, to } = addReading(now.sheets, entered, pool);
      return { ...now, sheets, undo: [...now.undo, to] };
    });
    this.chosen = null;
    this.shownWalk = null;
    this.changed();
    return null;
  }

  /** Takes back the last reading that this page added. */
  async undo(): Promise<void> {
    if (this.record === null) return;
    await this.#change(this.record.id, (now) => {
      const from = now.undo.at(-1);
      const sheet = from === undefined ? undefined : now.sheets[from];
      if (from === undefined || sheet === undefined) return now;
      const shorter = { ...sheet, added: sheet.added.slice(0, -1) };
      return { ...now, sheets: now.sheets.with(from, shorter), undo: now.undo.slice(0, -1) };
    });
  }

  /** The findings once they hold all that was read; throws, in the user's words, where none will. */
  async currentFindings(): Promise<Findings> {
    while (this.ranking === "awaited")
      await new Promise<void>((done) => {
        this.#waiting.push(done);
      });
    if (this.ranking === "failed") throw new Error("the diagnosis failed");
    if (this.findings === null) throw new Error("there are no findings yet: take readings first");
    return this.findings;
  }

  /** Decides on the suspects that are shown, from all walks and the work log. */
  async decide(onProgress: (words: string) => void): Promise<void> {
    const findings = await this.currentFindings();
    const { pool, contents } = this;
    if (pool === null || contents === null) return;
    const { readings, work } = contents;
    const question = { task: "decide", pool, readings, work } as const;
    const decided = await askSeason(this.#script, question, onProgress);
    if (this.findings !== findings || this.ranking === "awaited")
      throw new Error("the readings changed meanwhile; ask again");
    this.findings = { ...findings, decided };
    this.changed();
  }

  /** What a capital request is written from: all walks and the work log. */
  async memoInput(onProgress: (words: string) => void): Promise<MemoInput> {
    const { pool, contents } = this;
    if (pool === null || contents === null || contents.readings.length === 0)
      throw new Error("there are no readings yet");
    const { readings, work } = contents;
    return askSeason(this.#script, { task: "memo", pool, readings, work }, onProgress);
  }

  /** From now on readings belong to a new walk: something was cleaned or replaced. */
  async newWalk(): Promise<void> {
    const walk = this.#freshWalk();
    if (this.record !== null) await this.#change(this.record.id, (now) => ({ ...now, walk }));
  }

  /** An id that no walk has yet. */
  #freshWalk(): string {
    const day = localDay(new Date());
    const taken = new Set([...this.walks, this.walkNow]);
    let count = 2;
    while (taken.has(`${day}-${count}`)) count += 1;
    return `${day}-${count}`;
  }

  /**
   * Writes a line of the work log; resolves with what is wrong with it, or null once it is on disk.
   * Work ends the walk: readings from after it are of another path than those before.
   */
  async logWork(entered: EnteredWork): Promise<string | null> {
    const { record, pool } = this;
    if (record === null || pool === null) return "there is no pool in hand";
    const wrong = workFault(entered, pool);
    if (wrong !== null) return wrong;
    if (addWork(record.work, entered) === null)
      return "the imported work log has no column for all of it, or is not UTF-8";
    const walk = this.#freshWalk();
    await this.#change(record.id, (now) => ({
      ...now,
      work: addWork(now.work, entered),
      workUndo: [...now.workUndo, { entered, walkBefore: now.walk }],
      walk,
    }));
    return null;
  }

  /** Takes back the last line that this page wrote in the work log; gives that line. */
  async undoWork(): Promise<EnteredWork | null> {
    const { record } = this;
    const last = record?.workUndo.at(-1);
    if (record === null || last === undefined) return null;
    const untouched = this.readingsOf(this.walkNow).length === 0;
    const note = `takes back: ${last.entered.action}; on ${localMoment(new Date())}`;
    await this.#change(record.id, (now) => ({
      ...now,
      work: now.work === null ? null : takeBackWork(now.work, last.entered, note),
      workUndo: now.workUndo.slice(0, -1),
      walk: untouched ? last.walkBefore : now.walk,
    }));
    return last.entered;
  }

  /** Adds or replaces files of the pool in hand. */
  async changeFiles(how: (now: PoolRecord) => PoolRecord): Promise<void> {
    if (this.record !== null) await this.#change(this.record.id, how);
  }

  /** A new pool from its file; it becomes the one in hand. */
  async addPool(name: string, pool: KeptFile): Promise<void> {
    const id = crypto.randomUUID();
    await this.#change(id, () => ({
      id,
      name,
      pool,
      sheets: [],
      work: null,
      undo: [],
      workUndo: [],
      walk: null,
    }));
    await askToPersist();
  }

  async removePool(): Promise<void> {
    const { record } = this;
    if (record === null) return;
    await this.#store.remove(record.id);
    this.pools = this.pools.filter((one) => one.id !== record.id);
    const next = this.pools[0];
    if (next === undefined) {
      [this.record, this.contents, this.findings, this.advice] = [null, null, null, null];
      this.#settle("current");
      this.screen = "pool";
      this.changed();
    } else this.openPool(next.id);
  }

  openPool(id: string): void {
    const record = this.pools.find((one) => one.id === id);
    if (record === undefined) return;
    [this.chosen, this.shownWalk] = [null, null];
    this.#take(record);
    this.changed();
  }

  /** Another copy of the page may have added readings while this one was out of sight. */
  async refresh(): Promise<void> {
    this.pools = await this.#store.all();
    const record = this.pools.find((one) => one.id === this.record?.id);
    const same = record !== undefined && this.record !== null && sameRecord(record, this.record);
    // Past midnight a reading belongs to a new walk, and another point may be the next.
    const sameDay = this.#askedWalk === this.walkNow;
    if (record !== undefined && !(same && sameDay)) this.#take(record);
    this.changed();
  }

  async #change(id: string, how: (now: PoolRecord) => PoolRecord): Promise<void> {
    try {
      const known = this.pools.find((one) => one.id === id);
      const record = await this.#store.change(id, (now) => how((now ?? known) as PoolRecord));
      const others = this.pools.filter((one) => one.id !== id);
      this.pools = known === undefined ? [...others, record] : this.#replaced(record);
      this.#take(record);
      this.warn("room", await roomWarning());
    } catch (error) {
      const why = error instanceof Error ? error.message : String(error);
      this.warn("room", `This was NOT stored (${why}). Export your files, then make room.`);
      throw error;
    }
  }

  #replaced(record: PoolRecord): readonly PoolRecord[] {
    return this.pools.map((one) => (one.id === record.id ? record : one));
  }

  #take(record: PoolRecord): void {
    // Two pools may have walks of the same day.
    if (record.id !== this.record?.id) this.findings = null;
    this.record = record;
    this.contents = contentsOf(record);
    try {
      localStorage.setItem(currentKey, record.id);
    } catch {
      // The first pool opens next time.
    }
    this.#ask();
  }

  #lastId(): string | null {
    try {
      return localStorage.getItem(currentKey);
    } catch {
      return null;
    }
  }

  /** Has the shown walk diagnosed. Old findings stand until new ones come. */
  #ask(): void {
    const walk = this.walkShown;
    this.advice = null;
    if (this.findings?.walk !== walk) this.findings = null;
    if (this.pool === null) {
      this.#settle("current");
      return;
    }
    this.ranking = "awaited";
    const [readings, upcoming] = [this.readingsOf(walk), this.readingsOf(this.walkNow)];
    [this.#askedAt, this.#askedWalk] = [performance.now(), this.walkNow];
    this.#computer.ask({ pool: this.pool, readings, upcoming });
  }

  #settle(ranking: Ranking): void {
    this.ranking = ranking;
    for (const done of this.#waiting.splice(0)) done();
  }
}
