import { lastPoint } from "../domain/circuit.ts";
import type { WalkDiagnosis } from "../domain/findings.ts";
import { type CircuitName, circuitName, circuitOf, sameCircuit } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import type { Reading } from "../domain/reading.ts";
import { STRUCK } from "../intake/strikes.ts";
import type { MemoInput } from "../report/memo-input.ts";
import type { NextAdvice } from "../rooms/diagnosis-room.ts";
import type { SeasonDecisions } from "../rooms/policy-room.ts";
import { type Action, type Actions, actionsOf, keepActions } from "./actions.ts";
import {
  addWork,
  type EnteredWork,
  type LoggedWork,
  type ToDo,
  takeBackWork,
  workFault,
  workKey,
} from "./add-work.ts";
import { forgetTold } from "./answer-store.ts";
import { type Computer, startComputer } from "./compute.ts";
import { type Contents, contentsOf } from "./contents.ts";
import type { DayQuestion } from "./day-task.ts";
import { addLine, aloneText, type DeckLog, freshLine, type LogLine } from "./deck-logs.ts";
import {
  type EnteredReading,
  faultOf,
  freshId,
  type LedgerRow,
  rowOfEntered,
  rowOfReading,
  strikeOf,
  withRows,
} from "./ledger.ts";
import { localMoment } from "./local-time.ts";
import { nextAtOnce, type Spot, sameSpot } from "./proposals.ts";
import {
  type KeptFile,
  newFile,
  newRecord,
  type PoolRecord,
  sameRecord,
  uniqueName,
} from "./record.ts";
import { samplePool } from "./sample-pool.ts";
import { askSeason } from "./season-task.ts";
import { askToPersist, openStore, roomWarning, type Store } from "./store.ts";
import { type Recheck, rechecksOf, walkInHand } from "./walk-in-hand.ts";

export type ScreenName = "walk" | "result" | "day" | "files" | "pool";

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

/** So long a place may still be exchanged for a better one after it was shown [ms]. */
const settling = 1500;

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
  /** Places that nobody can get at in this walk. */
  unreachable: readonly Spot[] = [];
  /** The place shown at once, and since when [ms]. */
  #atOnce: { readonly spot: Spot | null; readonly since: number } = { spot: null, since: 0 };
  #actions: Actions = { done: [], undone: [] };
  /** Standing warnings: storage, room, computation. */
  warnings: ReadonlyMap<string, string> = new Map();
  readonly #store: Store;
  readonly #computer: Computer;
  /** Other tabs of this page, told of every change. */
  readonly #others = otherTabs(() => void this.refresh());
  #listener: () => void = () => {};
  /** Who waits until the ranking is awaited no more. */
  #waiting: (() => void)[] = [];
  #askedAt = 0;
  #askedWalk = "";

  private constructor(store: Store) {
    this.#store = store;
    if (store.trouble !== null) this.warn("store", store.trouble);
    this.#computer = startComputer(
      (message) => {
        if (message.part === "diagnosis") {
          const { diagnosis } = message;
          this.findings = { walk: diagnosis.walk, diagnosis, decided: null };
          const total = performance.now() - this.#askedAt;
          this.timing = { total, diagnosis: message.took };
          this.#settle("current");
        } else this.#hear(message.next);
        this.warn("compute", null);
      },
      (why) => {
        this.#hear({ readings: [], unplug: [], stop: null });
        // It may be the search for the next reading that failed, after the ranking came.
        if (this.ranking === "awaited") this.#settle("failed");
        this.warn("compute", `The diagnosis failed: ${why}. Your readings are kept.`);
      },
    );
  }

  /** Opens the storage and the pool that was last in hand. */
  static async open(): Promise<App> {
    const app = new App(await openStore());
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

  /** Work of this page on what is to be read again. */
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
  get leftToDo(): { readonly walk: string; readonly others: readonly ToDo[] } | null {
    const logged = this.record?.logged ?? [];
    const of = this.rechecks.at(-1)?.work.of ?? null;
    if (of === null) return null;
    const done = new Set(logged.map(({ entered }) => workKey(entered)));
    const others = of.others.filter(({ key }) => !done.has(key));
    return others.length === 0 ? null : { walk: of.walk, others };
  }

  /** Only what was worked on is read now, to see what came of it. */
  get isRechecking(): boolean {
    const touched = this.rechecks.flatMap(({ work }) => work.recheck);
    return (
      touched.length > 0 &&
      this.readingsOf(this.walkNow).every((one) => touched.some((name) => sameCircuit(one, name)))
    );
  }

  /** The places that the diagnosis asks for, of those that are wanted and can be reached. */
  get asked(): readonly Spot[] | null {
    if (this.advice === null) return null;
    const touched = this.isRechecking ? this.rechecks.flatMap(({ work }) => work.recheck) : null;
    return this.advice.readings.filter(
      (spot) =>
        !this.isOut(spot) && (touched === null || touched.some((name) => sameCircuit(spot, name))),
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

  /** The place to read next: the user's, what was worked on, the one that tells most, the plain order. */
  get place(): Spot | null {
    const { pool, chosen } = this;
    if (chosen !== null) return chosen;
    if (pool === null) return null;
    const [worked] = this.toRecheck;
    const circuit = worked === undefined ? undefined : circuitOf(pool, worked);
    if (circuit !== undefined) return { ...circuitName(circuit), point: lastPoint(circuit) };
    if (this.#atOnce.spot !== null && !this.isRechecking) return this.#atOnce.spot;
    return this.asked?.[0] ?? null;
  }

  isOut(spot: Spot): boolean {
    return this.unreachable.some((one) => sameSpot(one, spot));
  }

  /** The place that follows at once on a change, before anything is worked out. */
  #proposeAtOnce(): void {
    const { pool, findings } = this;
    if (pool === null) return;
    const emf = findings?.walk === this.walkNow ? findings?.diagnosis.emf : undefined;
    const readings = this.readingsOf(this.walkNow);
    const spot = nextAtOnce(pool, readings, (one) => this.isOut(one), emf);
    this.#atOnce = { spot, since: performance.now() };
  }

  /** The advice takes the place's stead, unless somebody may be on the way there already. */
  #hear(advice: NextAdvice): void {
    this.advice = advice;
    const [best] = this.asked ?? [];
    const { spot, since } = this.#atOnce;
    if (advice.stop !== null) this.#atOnce = { spot: null, since: 0 };
    else if (best !== undefined && (spot === null || performance.now() - since < settling))
      this.#atOnce = { spot: null, since: 0 };
    this.changed();
  }

  /** Nobody can get at this place: another is proposed, until the walk is over. */
  cannotReach(spot: Spot): void {
    this.unreachable = [...this.unreachable, spot];
    this.chosen = null;
    this.#proposeAtOnce();
    if ((this.asked ?? []).length > 0) this.#atOnce = { spot: null, since: 0 };
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
    this.chosen = null;
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
    return this.#ofThisWalk(this.#actions.done.at(-1));
  }
  get redoable(): Action | null {
    const action = this.#actions.undone.at(-1);
    // Seen the other way round: what it would take away must stand, what it brings need not.
    if (action === undefined) return null;
    return this.#ofThisWalk({ came: action.went, went: action.came }) === null ? null : action;
  }

  /** Undo never reaches into an earlier walk, nor for what is struck out by now. */
  #ofThisWalk(action: Action | undefined): Action | null {
    if (action === undefined) return null;
    const walk = this.walkNow;
    const { came, went } = action;
    const here = this.readingsOf(walk);
    if (came.length > 0)
      return came.every(({ id }) => here.some((one) => one.id === id)) ? action : null;
    const begun = here.length === 0 ? "" : (here[0]?.takenAt?.day ?? "");
    return went.every(({ taken_at }) => taken_at !== "" && taken_at.slice(0, 10) >= begun)
      ? action
      : null;
  }

  /** Takes the last action of this tab back; resolves with it. */
  async undo(): Promise<Action | null> {
    const action = this.undoable;
    if (action === null) return null;
    const { done, undone } = this.#actions;
    // What was struck comes again as a reading of its own: a strike is for ever.
    const back = { came: action.went.map(renewed), went: action.came };
    await this.#append(back);
    this.#keep({
      done: done.slice(0, -1),
      undone: [...undone, { came: back.went, went: back.came }],
    });
    this.changed();
    return action;
  }

  async redo(): Promise<Action | null> {
    const action = this.redoable;
    if (action === null) return null;
    const { done, undone } = this.#actions;
    const again = { came: action.came.map(renewed), went: action.went };
    await this.#append(again);
    this.#keep({ done: [...done, again], undone: undone.slice(0, -1) });
    this.changed();
    return again;
  }

  async #act(action: Action): Promise<void> {
    await this.#append(action);
    this.#keep({ done: [...this.#actions.done, action], undone: [] });
    this.changed();
  }

  #keep(actions: Actions): void {
    this.#actions = actions;
    if (this.record !== null) keepActions(this.record.id, actions);
  }

  async #append({ came, went }: Action): Promise<void> {
    if (this.record === null) return;
    const rows = [...went.map(strikeOf), ...came];
    await this.#change(this.record.id, (now) => {
      const names = [...now.sheets.map(({ name }) => name), now.work?.name ?? "work.csv"];
      const freeName = (): string => uniqueName("readings.csv", names);
      return { ...now, ledger: withRows(now.ledger, rows, freeName) };
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
    const decided = await askSeason(question, onProgress);
    if (this.findings !== findings || this.ranking === "awaited")
      throw new Error("the readings changed meanwhile; ask again");
    this.findings = { ...findings, decided };
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

  /** Adds a row to a log of the deck day; resolves with what is wrong with it, or null once it is on disk. */
  async logLine(log: DeckLog, line: LogLine): Promise<string | null> {
    return this.#logLines(log, [line], line);
  }

  /**
   * Strikes a row of such a log out, and puts another in its stead where one is given; resolves with
   * what is wrong with that one, or null. The row stays where it is, and counts no more.
   */
  async strikeLine(log: DeckLog, line: LogLine, instead: LogLine | null): Promise<string | null> {
    const strike = { ...line, state: STRUCK };
    if (instead === null) return this.#logLines(log, [strike], line);
    const fresh = freshLine(log, this.record?.[log] ?? null, instead);
    if (fresh === null) return "a row that says the same was struck out before";
    return this.#logLines(log, [strike, fresh], fresh);
  }

  async #logLines(
    log: DeckLog,
    lines: readonly LogLine[],
    judged: LogLine,
  ): Promise<string | null> {
    const { record, pool } = this;
    if (record === null || pool === null) return "there is no pool in hand";
    const alone = newFile("row", aloneText(log, judged));
    const read = contentsOf({ ...newRecord("", "", record.pool), [log]: alone });
    const wrong = read.rejectedWork[0]?.reason ?? read.faults[0]?.message ?? null;
    if (wrong !== null) return wrong;
    await this.#change(record.id, (now) => ({
      ...now,
      [log]: lines.reduce<KeptFile | null>((file, line) => addLine(log, file, line), now[log]),
    }));
    return null;
  }

  /** What a capital request is written from: all walks and the work log. */
  async memoInput(onProgress: (words: string) => void): Promise<MemoInput> {
    const { pool, contents } = this;
    if (pool === null || contents === null || contents.readings.length === 0)
      throw new Error("there are no readings yet");
    const { readings, work } = contents;
    return askSeason({ task: "memo", pool, readings, work }, onProgress);
  }

  /**
   * Writes a line of the work log; resolves with what is wrong with it, or null once it is on disk.
   * Work ends the walk for what it touched: readings after it are of another path than those before.
   */
  async logWork(
    entered: EnteredWork,
    recheck: readonly CircuitName[] = [],
    of: LoggedWork["of"] = null,
  ): Promise<string | null> {
    const { record, pool } = this;
    if (record === null || pool === null) return "there is no pool in hand";
    const wrong = workFault(entered, pool);
    if (wrong !== null) return wrong;
    if (addWork(record.work, entered) === null)
      return "the imported work log has no column for all of it, or is not UTF-8";
    await this.#change(record.id, (now) => ({
      ...now,
      work: addWork(now.work, entered),
      logged: [...now.logged, { entered, recheck, of }],
    }));
    return null;
  }

  /** Takes back the last line that this page wrote in the work log; gives that line. */
  async undoWork(): Promise<EnteredWork | null> {
    const { record } = this;
    const last = record?.logged.at(-1);
    if (record === null || last === undefined) return null;
    const note = `takes back: ${last.entered.action}; on ${localMoment(new Date())}`;
    await this.#change(record.id, (now) => ({
      ...now,
      work: now.work === null ? null : takeBackWork(now.work, last.entered, note),
      logged: now.logged.slice(0, -1),
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
    await this.#change(id, () => newRecord(id, name, pool));
    await askToPersist();
  }

  /** An invented pool, to look around in. */
  async addSample(): Promise<void> {
    const sample = samplePool(new Date());
    await this.#change(sample.id, () => sample);
  }

  async removePool(): Promise<void> {
    const { record } = this;
    if (record === null) return;
    await this.#store.remove(record.id);
    if (this.pool !== null) await forgetTold(this.pool.name);
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
    [this.chosen, this.shownWalk, this.unreachable] = [null, null, []];
    this.#take(record);
    this.changed();
  }

  /** Another copy of the page may have added readings while this one was out of sight. */
  async refresh(): Promise<void> {
    this.pools = await this.#store.all();
    const record = this.pools.find((one) => one.id === this.record?.id);
    const same = record !== undefined && this.record !== null && sameRecord(record, this.record);
    // After six hours a reading begins a new walk, and another point may be the next.
    const sameWalk = this.#askedWalk === (this.walkNow ?? "");
    if (record !== undefined && !(same && sameWalk)) this.#take(record);
    this.changed();
  }

  async #change(id: string, how: (now: PoolRecord) => PoolRecord): Promise<void> {
    try {
      const known = this.pools.find((one) => one.id === id);
      const record = await this.#store.change(id, (now) => how((now ?? known) as PoolRecord));
      const others = this.pools.filter((one) => one.id !== id);
      this.pools = known === undefined ? [...others, record] : this.#replaced(record);
      this.#take(record);
      this.#others?.postMessage(id);
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
    if (record.id !== this.record?.id) {
      this.findings = null;
      this.#actions = actionsOf(record.id);
    }
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
    if (this.#askedWalk !== (this.walkNow ?? "")) this.unreachable = [];
    this.#proposeAtOnce();
    if (this.findings?.walk !== walk) this.findings = null;
    if (this.pool === null) {
      this.#settle("current");
      return;
    }
    this.ranking = "awaited";
    const readings = this.readingsOf(walk);
    const upcoming = walk === this.walkNow ? readings : this.readingsOf(this.walkNow);
    [this.#askedAt, this.#askedWalk] = [performance.now(), this.walkNow ?? ""];
    const { readings: season = [], work = [] } = this.contents ?? {};
    this.#computer.ask({ pool: this.pool, season, work, readings, upcoming });
  }

  #settle(ranking: Ranking): void {
    this.ranking = ranking;
    for (const done of this.#waiting.splice(0)) done();
  }
}

function otherTabs(onChange: () => void): BroadcastChannel | null {
  try {
    const channel = new BroadcastChannel("dropwise");
    channel.onmessage = onChange;
    return channel;
  } catch {
    return null;
  }
}

/** The same reading once more, under an id of its own. */
const renewed = (row: LedgerRow): LedgerRow => ({ ...row, id: freshId() });
