import { lastPoint } from "../domain/circuit.ts";
import { type CircuitName, circuitName, circuitOf, sameCircuit } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import type { Reading } from "../domain/reading.ts";
import type { MemoInput } from "../report/memo-input.ts";
import type { NextAdvice } from "../rooms/diagnosis-room.ts";
import type { Action } from "./actions.ts";
import { workKey } from "./add-work.ts";
import { forgetTold } from "./answer-store.ts";
import { askSeason } from "./ask-season.ts";
import { type Contents, contentsOf } from "./contents.ts";
import type { DayQuestion } from "./day-task.ts";
import {
  type EnteredReading,
  faultOf,
  freshId,
  rowOfEntered,
  rowOfReading,
  strikeOf,
  withRows,
} from "./ledger.ts";
import { LogWriter } from "./log-writer.ts";
import { PlaceInHand } from "./place-in-hand.ts";
import { PoolShelf } from "./pool-shelf.ts";
import type { Spot } from "./proposals.ts";
import { type Ahead, ReadAhead } from "./read-ahead.ts";
import { type KeptFile, newRecord, type PoolRecord, sameRecord, uniqueName } from "./record.ts";
import { samplePool } from "./sample-pool.ts";
import { askToPersist } from "./store.ts";
import { UndoStack } from "./undo-stack.ts";
import { type LeftToDo, leftToDo, type Recheck, rechecksOf, walkInHand } from "./walk-in-hand.ts";
import { type Findings, type Ranking, WalkRanking } from "./walk-ranking.ts";

export type ScreenName = "walk" | "result" | "day" | "files" | "pool";

/** All that the screens show, and all that they can do. One object; screens listen to it. */
export class App {
  record: PoolRecord | null = null;
  contents: Contents | null = null;
  screen: ScreenName = "walk";
  /** The walk whose findings are shown; null: the latest. */
  shownWalk: string | null = null;
  /** Standing warnings: storage, room, computation. */
  warnings: ReadonlyMap<string, string> = new Map();
  /** Writes the logs of the pool in hand. */
  readonly logs = new LogWriter(this);
  readonly #shelf: PoolShelf;
  readonly #spot = new PlaceInHand();
  readonly #ranked = new WalkRanking({
    ranked: () => this.warn("compute", null),
    advised: () => {
      this.#hear();
      this.warn("compute", null);
    },
    failed: (why) => {
      this.#hear();
      this.warn("compute", `The diagnosis failed: ${why}. Your readings are kept.`);
    },
  });
  #actions = new UndoStack("");
  #listener: () => void = () => {};
  #askedWalk = "";
  /** What is worked out before anybody asks for it. */
  readonly ahead = new ReadAhead(
    () => this.#ahead(),
    () => this.changed(),
  );

  private constructor(shelf: PoolShelf) {
    this.#shelf = shelf;
    if (shelf.trouble !== null) this.warn("store", shelf.trouble);
  }

  /** Opens the storage and the pool that was last in hand. */
  static async open(): Promise<App> {
    let app: App | null = null;
    app = new App(await PoolShelf.open(() => void app?.refresh()));
    const record = app.#shelf.last;
    if (record === null) app.screen = "pool";
    else app.#take(record);
    return app;
  }

  get pools(): readonly PoolRecord[] {
    return this.#shelf.pools;
  }

  /** Loses everything when the page closes, and there is something to lose. */
  get losesAll(): boolean {
    return this.#shelf.trouble !== null && this.pools.length > 0;
  }

  get pool(): Pool | null {
    return this.contents?.pool ?? null;
  }

  get findings(): Findings | null {
    return this.#ranked.findings;
  }

  get ranking(): Ranking {
    return this.#ranked.state;
  }

  /** What to read next; null: not yet known for the readings in hand. */
  get advice(): NextAdvice | null {
    return this.#ranked.advice;
  }

  get timing(): WalkRanking["timing"] {
    return this.#ranked.timing;
  }

  get chosen(): Spot | null {
    return this.#spot.chosen;
  }

  get chosenBy(): "tap" | "typing" {
    return this.#spot.chosenBy;
  }

  /** Places that nobody could get at in this walk. */
  get leftOut(): readonly Spot[] {
    return this.#spot.unreachable;
  }

  /** Today's work of this page, and what was read after each. */
  get rechecks(): readonly Recheck[] {
    const { contents, record } = this;
    return contents === null || record === null
      ? []
      : rechecksOf(contents, record.logged, Date.now() / 1000);
  }

  /** The circuits that the work of today touched, and that are not read again yet. */
  get toRecheck(): readonly CircuitName[] {
    return this.rechecks.flatMap(({ open }) => open);
  }

  /** What the result before the work asked for as well, and nobody has seen to yet. */
  get leftToDo(): LeftToDo | null {
    return leftToDo(this.record?.logged ?? [], Date.now() / 1000);
  }

  /** The places of work that this walk's result was followed by, as `workKey` spells them. */
  seenTo(walk: string): readonly string[] {
    const logged = this.record?.logged ?? [];
    return logged.filter(({ of }) => of?.walk === walk).map(({ entered }) => workKey(entered));
  }

  /** The circuits that wait to be read again, or are read again in the walk in hand. */
  get #touched(): readonly CircuitName[] {
    const { rechecks, walkNow } = this;
    return rechecks
      .filter(({ open, walk }) => open.length > 0 || walk === walkNow)
      .flatMap(({ work }) => work.recheck);
  }

  /** Only what was worked on is read now, to see what came of it. */
  get isRechecking(): boolean {
    const touched = this.#touched;
    return (
      touched.length > 0 &&
      this.readingsOf(this.walkNow).every((one) => touched.some((name) => sameCircuit(one, name)))
    );
  }

  /** The places that the diagnosis asks for, of those that are wanted and can be reached. */
  get asked(): readonly Spot[] | null {
    if (this.advice === null) return null;
    const touched = this.isRechecking ? this.#touched : null;
    return this.advice.readings.filter(
      (spot) =>
        !this.#spot.isOut(spot) &&
        (touched === null || touched.some((name) => sameCircuit(spot, name))),
    );
  }

  /** The walk that a reading taken now belongs to; null: one that it begins. */
  get walkNow(): string | null {
    if (this.contents === null) return null;
    return walkInHand(this.contents, this.rechecks, Date.now() / 1000);
  }

  /** All walks, in the order of the sheets. */
  get walks(): readonly string[] {
    return [...new Set((this.contents?.readings ?? []).map((reading) => reading.walk))];
  }

  /** The walk whose findings are shown: the chosen one, else the one in hand, else the latest. */
  get walkShown(): string | null {
    const walks = this.walks;
    if (this.shownWalk !== null && walks.includes(this.shownWalk)) return this.shownWalk;
    return this.walkNow ?? this.#latestWalk ?? walks.at(-1) ?? null;
  }

  get #latestWalk(): string | null {
    const last = (this.contents?.readings ?? []).reduce<Reading | null>(
      (late, one) =>
        one.takenAt !== null && (late?.takenAt?.day ?? "") <= one.takenAt.day ? one : late,
      null,
    );
    return last?.walk ?? null;
  }

  readingsOf(walk: string | null): readonly Reading[] {
    return (this.contents?.readings ?? []).filter((reading) => reading.walk === walk);
  }

  /** What the readings of a walk were found to say, whichever walk is shown; null where nobody asked. */
  foundOf(walk: string | null): Findings["diagnosis"] | null {
    return this.#ranked.foundOf(this.readingsOf(walk));
  }

  /** The place to read next: the user's, what was worked on, the one that tells most, the plain order. */
  get place(): Spot | null {
    const { pool, chosen } = this;
    if (chosen !== null) return chosen;
    if (pool === null) return null;
    const [worked] = this.toRecheck;
    const circuit = worked === undefined ? undefined : circuitOf(pool, worked);
    if (circuit !== undefined) return { ...circuitName(circuit), point: lastPoint(circuit) };
    if (this.#spot.atOnce !== null && !this.isRechecking) return this.#spot.atOnce;
    return this.asked?.[0] ?? null;
  }

  /** The place that follows at once on a change, before anything is worked out. */
  #proposeAtOnce(): void {
    const { pool, findings } = this;
    if (pool === null) return;
    const emf = findings?.walk === this.walkNow ? findings?.diagnosis.emf : undefined;
    this.#spot.propose(pool, this.readingsOf(this.walkNow), emf);
  }

  /** The advice takes the place's stead, unless somebody may be on the way there already. */
  #hear(): void {
    if ((this.asked ?? []).length > 0) this.#spot.yield();
    else if (this.advice?.stop !== null) this.#spot.drop();
    this.changed();
  }

  /** Nobody can get at this place: another is proposed, until the walk is over. */
  cannotReach(spot: Spot): void {
    this.#spot.leaveOut(spot);
    this.#proposeAtOnce();
    if ((this.asked ?? []).length > 0) this.#spot.drop();
    this.changed();
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
    this.#spot.choose(place, by);
    this.changed();
  }

  /** Stores a reading; resolves with what is wrong with it, or null once it is on disk. */
  async enter(entered: EnteredReading): Promise<string | null> {
    const { record, pool } = this;
    if (record === null || pool === null) return "there is no pool to read";
    const wrong = faultOf(entered, pool);
    if (wrong !== null) return wrong;
    this.#spot.choose(null);
    this.shownWalk = null;
    await this.#act({ came: [rowOfEntered(entered, freshId())], went: [] });
    return null;
  }

  /** Strikes a reading out: it stays in the ledger, and counts no more. */
  async strike(reading: Reading): Promise<void> {
    await this.#act({ came: [], went: [rowOfReading(reading)] });
  }

  /** Puts another value in a reading's stead; resolves with what is wrong with it, or null. */
  async correct(reading: Reading, volts: string): Promise<string | null> {
    const { pool } = this;
    const old = rowOfReading(reading);
    const entered = { ...old, volts };
    const wrong = pool === null ? "there is no pool in hand" : faultOf(entered, pool);
    if (wrong !== null) return wrong;
    await this.#act({ came: [{ ...entered, id: freshId() }], went: [old] });
    return null;
  }

  /** What undo and redo would take up; null where there is nothing of this walk. */
  get undoable(): Action | null {
    return this.#actions.undoable(this.readingsOf(this.walkNow));
  }
  get redoable(): Action | null {
    return this.#actions.redoable(this.readingsOf(this.walkNow));
  }

  /** Takes the last action of this tab back; resolves with it. */
  async undo(): Promise<Action | null> {
    const action = this.undoable;
    if (action !== null) await this.#actions.undo(action, (back) => this.#append(back));
    this.changed();
    return action;
  }

  async redo(): Promise<Action | null> {
    const action = this.redoable;
    if (action !== null) await this.#actions.redo(action, (again) => this.#append(again));
    this.changed();
    return action;
  }

  async #act(action: Action): Promise<void> {
    await this.#append(action);
    this.#actions.did(action);
    this.changed();
  }

  async #append({ came, went }: Action): Promise<void> {
    const rows = [...went.map(strikeOf), ...came];
    await this.changeFiles((now) => {
      const names = [...now.sheets.map(({ name }) => name), now.work?.name ?? "work.csv"];
      const freeName = (): string => uniqueName("readings.csv", names);
      return { ...now, ledger: withRows(now.ledger, rows, freeName) };
    });
  }

  /** The findings once they hold all that was read; throws, in the user's words, where none will. */
  currentFindings(): Promise<Findings> {
    return this.#ranked.current();
  }

  /** Decides on the suspects that are shown, from all walks and the work log. */
  async decide(onProgress: (words: string) => void): Promise<void> {
    const findings = await this.currentFindings();
    const { pool, contents } = this;
    if (pool === null || contents === null) return;
    const { readings, work } = contents;
    const question = { task: "decide", pool, readings, work } as const;
    await this.ahead.settled(question);
    const decided = await askSeason(question, onProgress);
    if (this.findings !== findings || this.ranking === "awaited")
      throw new Error("the readings changed meanwhile; ask again");
    this.#ranked.findings = { ...findings, decided };
    this.changed();
  }

  /** What the deck day is judged from; null where there is no pool. */
  dayQuestion(date: string, minutesLeft: number | null): DayQuestion | null {
    const { pool, contents, record } = this;
    if (pool === null || contents === null || record === null) return null;
    const { readings, work } = contents;
    const touches = record.touches === null ? null : contents.touches;
    const pads = record.pads === null ? null : contents.pads;
    return { task: "day", pool, readings, work, touches, pads, date, minutesLeft };
  }

  /** What a capital request is written from: all walks and the work log. */
  async memoInput(onProgress: (words: string) => void): Promise<MemoInput> {
    const { pool, contents } = this;
    if (pool === null || contents === null || contents.readings.length === 0)
      throw new Error("there are no readings yet");
    const { readings, work } = contents;
    return askSeason({ task: "memo", pool, readings, work }, onProgress);
  }

  /** Adds or replaces files of the pool in hand. */
  async changeFiles(how: (now: PoolRecord) => PoolRecord): Promise<void> {
    if (this.record !== null) await this.#change(this.record.id, how);
  }

  /** A new pool from its file; it becomes the one in hand. */
  async addPool(name: string, pool: KeptFile): Promise<void> {
    const id = crypto.randomUUID();
    await this.#change(id, () => newRecord(id, name, pool));
    // A browser may ask the user first; nothing waits for that.
    void askToPersist();
  }

  /** An invented pool, to look around in. */
  async addSample(): Promise<void> {
    const sample = samplePool(new Date());
    await this.#change(sample.id, () => sample);
  }

  async removePool(): Promise<void> {
    const { record } = this;
    if (record === null) return;
    await this.#shelf.remove(record);
    if (this.pool !== null) await forgetTold(this.pool.name);
    const next = this.pools[0];
    if (next !== undefined) {
      this.openPool(next.id);
      return;
    }
    [this.record, this.contents] = [null, null];
    this.#ranked.forget();
    this.#ranked.settle("current");
    this.go("pool");
  }

  openPool(id: string): void {
    const record = this.pools.find((one) => one.id === id);
    if (record === undefined) return;
    this.shownWalk = null;
    this.#take(record);
    this.changed();
  }

  /** Another copy of the page may have added readings while this one was out of sight. */
  async refresh(): Promise<void> {
    await this.#shelf.load();
    const record = this.pools.find((one) => one.id === this.record?.id);
    const same = record !== undefined && this.record !== null && sameRecord(record, this.record);
    // After six hours a reading begins a new walk, and another point may be the next.
    const sameWalk = this.#askedWalk === (this.walkNow ?? "");
    if (record !== undefined && !(same && sameWalk)) this.#take(record);
    this.changed();
  }

  async #change(id: string, how: (now: PoolRecord) => PoolRecord): Promise<void> {
    try {
      this.#take(await this.#shelf.change(id, how));
    } catch (error) {
      const why = error instanceof Error ? error.message : String(error);
      this.warn("stored", `This was NOT stored (${why}). Export your files, then make room.`);
      throw error;
    }
    this.warn("stored", null);
    // It is stored: nobody waits for what is to be said of the room that is left.
    void this.#shelf.roomWarning().then((words) => {
      if ((this.warnings.get("room") ?? null) !== words) this.warn("room", words);
    });
  }

  #take(record: PoolRecord): void {
    if (record.id !== this.record?.id) {
      this.#ranked.forget();
      this.#spot.forget();
      this.#actions = new UndoStack(record.id);
    }
    this.record = record;
    this.contents = contentsOf(record);
    this.#shelf.inHand(record);
    this.#ask();
  }

  /** Has the shown walk diagnosed. Old findings stand until new ones come. */
  #ask(): void {
    const walk = this.walkShown;
    const now = this.walkNow;
    this.#ranked.advice = null;
    if (this.record !== null) this.#spot.within(this.record.id, now);
    this.#proposeAtOnce();
    if (this.findings?.walk !== walk) this.#ranked.findings = null;
    const { pool } = this;
    if (pool === null) {
      this.#ranked.settle("current");
      return;
    }
    const readings = this.readingsOf(walk);
    const upcoming = walk === now ? readings : this.readingsOf(now);
    this.#askedWalk = now ?? "";
    const { readings: season = [], work = [] } = this.contents ?? {};
    this.#ranked.ask({ pool, season, work, readings, upcoming });
    this.ahead.soon();
  }

  /** What could be worked out ahead: once the walk in hand is answered. */
  #ahead(): Ahead | "later" | null {
    const { pool, contents, advice, walkNow } = this;
    if (pool === null || contents === null || this.ranking === "failed") return null;
    if (this.ranking === "awaited" || advice === null) return "later";
    const { readings, work } = contents;
    return { data: { pool, readings, work }, isOver: walkNow === null || advice.stop !== null };
  }
}
