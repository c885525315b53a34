import type { Lane } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import {
  isResting,
  type Moment,
  type Reading,
  type ReadingState,
  startWith,
  undated,
  type WalkReadings,
  type WalkStart,
} from "../domain/reading.ts";
import { type Volts, volts } from "../domain/units.ts";
import { isByTime, walkNames } from "../domain/walk-names.ts";
import type { WorkEntry } from "../domain/work.ts";
import { KeptMoments } from "./kept-moments.ts";
import { KeptTexts } from "./kept-texts.ts";

/** Values that recur, each kept once and known by its number. */
class Names<T> {
  readonly #numbers = new Map<T, number>();
  readonly #values: T[] = [];

  numberOf(value: T): number {
    const known = this.#numbers.get(value);
    if (known !== undefined) return known;
    this.#numbers.set(value, this.#values.length);
    return this.#values.push(value) - 1;
  }

  at = (number: number): T => this.#values[number]!;

  get size(): number {
    return this.#values.length;
  }
}

/** Rows that are set aside at a time: a power of two. */
const blockRows = 1 << 14;

const textColumns = ["id", "by", "note"] as const;

const states: readonly ReadingState[] = ["rest", "pressed", "moved"];

/** Columns of some rows, 35 bytes a row and 4 for each of the last three that is used at all. */
const newBlock = () => ({
  walk: new Uint32Array(blockRows),
  lane: new Uint32Array(blockRows),
  device: new Uint16Array(blockRows),
  end: new Uint16Array(blockRows),
  point: new Uint16Array(blockRows),
  meter: new Uint16Array(blockRows),
  volts: new Float64Array(blockRows),
  step: new Uint16Array(blockRows),
  /** Bit 0: the meter was just switched on; bits 1 and 2: the state. */
  flags: new Uint8Array(blockRows),
  takenAt: new Uint32Array(blockRows),
  line: new Uint32Array(blockRows),
  id: null as Uint32Array | null,
  by: null as Uint32Array | null,
  note: null as Uint32Array | null,
});

/**
 * Readings as columns of numbers, some 45 bytes each where an object takes 300: a million of them
 * wait in small memory until their walk's turn comes. Rows of one walk may stand anywhere.
 *
 * What comes out equals what was put in, moments read again from their own text.
 */
export class KeptReadings {
  #walks = new Names<string>();
  readonly #starts: WalkStart[] = [];
  readonly #rests: boolean[] = [];
  readonly #lanes = new Names<Lane | null>();
  readonly #names = new Names<string>();
  readonly #steps = new Names<Volts>();
  readonly #moments = new KeptMoments();
  readonly #texts = { id: new KeptTexts(), by: new KeptTexts(), note: new KeptTexts() };
  readonly #blocks: ReturnType<typeof newBlock>[] = [];
  #size = 0;

  /** How many there are. */
  get size(): number {
    return this.#size;
  }

  add(reading: Reading): void {
    const row = this.#size % blockRows;
    if (row === 0) this.#blocks.push(newBlock());
    const block = this.#blocks.at(-1)!;
    block.walk[row] = this.#begin(reading.walk, reading.takenAt, isResting(reading));
    block.lane[row] = this.#lanes.numberOf(reading.lane);
    block.device[row] = this.#names.numberOf(reading.device);
    block.end[row] = this.#names.numberOf(reading.end ?? "");
    block.point[row] = this.#names.numberOf(reading.point);
    block.meter[row] = this.#names.numberOf(reading.meter);
    block.volts[row] = reading.volts;
    block.step[row] = this.#steps.numberOf(reading.step);
    block.flags[row] = (reading.meterOn ? 1 : 0) + 2 * states.indexOf(reading.state);
    block.takenAt[row] = this.#moments.add(reading.takenAt);
    block.line[row] = reading.line;
    for (const name of textColumns) {
      const text = reading[name];
      if (text === null) continue;
      block[name] ??= new Uint32Array(blockRows);
      block[name][row] = this.#texts[name].add(text);
    }
    this.#size += 1;
  }

  /** The number of a walk, with one more of its readings counted in. */
  #begin(name: string, takenAt: Moment | null, isAtRest: boolean): number {
    const walk = this.#walks.numberOf(name);
    this.#starts[walk] = startWith(this.#starts[walk] ?? undated, takenAt);
    this.#rests[walk] = this.#rests[walk] === true || isAtRest;
    return walk;
  }

  /** Gives the readings without an id the walks that their times, and the works, make. */
  nameWalks(pool: Pool, work: readonly WorkEntry[]): void {
    const before = this.#walks;
    const at = (i: number) => this.#blocks[Math.floor(i / blockRows)]!;
    const moment = (i: number) => this.#moments.at(at(i).takenAt[i % blockRows]!);
    const byTime: number[] = [];
    for (let i = 0; i < this.#size; i++)
      if (isByTime({ walk: before.at(this.#walkOf(i)), takenAt: moment(i) })) byTime.push(i);
    const names = walkNames(
      {
        count: byTime.length,
        moment: (row) => moment(byTime[row]!)!,
        circuit: (row) => this.#reading(byTime[row]!),
      },
      pool,
      work,
    );
    this.#walks = new Names<string>();
    this.#starts.length = 0;
    this.#rests.length = 0;
    let next = 0;
    for (let i = 0; i < this.#size; i++) {
      const own = byTime[next] === i ? names[next++]! : before.at(this.#walkOf(i));
      const isAtRest = states[at(i).flags[i % blockRows]! >> 1] !== "pressed";
      at(i).walk[i % blockRows] = this.#begin(own, moment(i), isAtRest);
    }
  }

  /** The walks in the order of their first rows, each with its own rows in their order. */
  walks(): readonly WalkReadings[] {
    const starts = new Uint32Array(this.#walks.size + 1);
    for (let i = 0; i < this.#size; i++) starts[this.#walkOf(i) + 1]! += 1;
    for (let walk = 0; walk < this.#walks.size; walk++) starts[walk + 1]! += starts[walk]!;
    const next = starts.slice();
    const rows = new Uint32Array(this.#size);
    for (let i = 0; i < this.#size; i++) rows[next[this.#walkOf(i)]!++] = i;
    return Array.from({ length: this.#walks.size }, (_, walk) => ({
      walk: this.#walks.at(walk),
      start: this.#starts[walk]!,
      rests: this.#rests[walk]!,
      readings: () => Array.from(rows.subarray(starts[walk], starts[walk + 1]), this.#reading),
    }));
  }

  #walkOf(i: number): number {
    return this.#blocks[Math.floor(i / blockRows)]!.walk[i % blockRows]!;
  }

  #reading = (i: number): Reading => {
    const block = this.#blocks[Math.floor(i / blockRows)]!;
    const row = i % blockRows;
    const flags = block.flags[row]!;
    return {
      lane: this.#lanes.at(block.lane[row]!),
      device: this.#names.at(block.device[row]!),
      end: this.#names.at(block.end[row]!) || null,
      point: this.#names.at(block.point[row]!),
      volts: volts(block.volts[row]!),
      step: this.#steps.at(block.step[row]!),
      takenAt: this.#moments.at(block.takenAt[row]!),
      walk: this.#walks.at(block.walk[row]!),
      meter: this.#names.at(block.meter[row]!),
      meterOn: (flags & 1) !== 0,
      state: states[flags >> 1]!,
      id: this.#texts.id.at(block.id?.[row] ?? 0),
      by: this.#texts.by.at(block.by?.[row] ?? 0),
      note: this.#texts.note.at(block.note?.[row] ?? 0),
      line: block.line[row]!,
    };
  };
}
