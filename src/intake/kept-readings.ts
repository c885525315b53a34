import type { Lane } from "../domain/place.ts";
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
import { readMoment } from "./moment-text.ts";

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

/** Bytes of text that are set aside at a time; a cell is far shorter. */
const textPiece = 1 << 20;

/** Texts that mostly differ, as UTF-8: of a million moments, 20 MB in place of 100. */
class Texts {
  readonly #encoder = new TextEncoder();
  readonly #decoder = new TextDecoder("utf-8", { ignoreBOM: true });
  readonly #pieces: Uint8Array[] = [];
  /** Bytes used of the last piece. */
  #used = textPiece;
  #last = "";
  #lastPlace = 0;

  /** Keeps a text and says where: neighbours that are equal share it. 0 stands for null. */
  add(text: string | null): number {
    if (text === null) return 0;
    if (text === this.#last && this.#lastPlace > 0) return this.#lastPlace;
    // UTF-8 takes three bytes at most for each of a string's units.
    if (this.#used + 3 + 3 * text.length > textPiece) {
      this.#pieces.push(new Uint8Array(textPiece));
      this.#used = 0;
    }
    const piece = this.#pieces.at(-1)!;
    const start = this.#used;
    const { read, written } = this.#encoder.encodeInto(text, piece.subarray(start + 3));
    if (read < text.length) throw new Error(`a cell of ${text.length} characters`);
    piece[start] = written >> 16;
    piece[start + 1] = written >> 8;
    piece[start + 2] = written;
    this.#used = start + 3 + written;
    this.#last = text;
    this.#lastPlace = (this.#pieces.length - 1) * textPiece + start + 1;
    return this.#lastPlace;
  }

  at(place: number): string | null {
    if (place === 0) return null;
    const piece = this.#pieces[Math.floor((place - 1) / textPiece)]!;
    const start = (place - 1) % textPiece;
    const length = (piece[start]! << 16) | (piece[start + 1]! << 8) | piece[start + 2]!;
    return this.#decoder.decode(piece.subarray(start + 3, start + 3 + length));
  }
}

/** Rows that are set aside at a time: a power of two. */
const blockRows = 1 << 14;

const states: readonly ReadingState[] = ["rest", "pressed", "moved"];

/** Columns of some rows, 47 bytes a row. */
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
  id: new Uint32Array(blockRows),
  by: new Uint32Array(blockRows),
  note: new Uint32Array(blockRows),
  line: new Uint32Array(blockRows),
});

/**
 * Readings as columns of numbers, some 70 bytes each where an object takes 300: a million of them
 * wait in small memory until their walk's turn comes. Rows of one walk may stand anywhere.
 *
 * What comes out equals what was put in, moments read again from their own text.
 */
export class KeptReadings {
  readonly #walks = new Names<string>();
  readonly #starts: WalkStart[] = [];
  readonly #rests: boolean[] = [];
  readonly #lanes = new Names<Lane | null>();
  readonly #names = new Names<string>();
  readonly #steps = new Names<Volts>();
  readonly #texts = { takenAt: new Texts(), id: new Texts(), by: new Texts(), note: new Texts() };
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
    const walk = this.#walks.numberOf(reading.walk);
    this.#starts[walk] = startWith(this.#starts[walk] ?? undated, reading.takenAt);
    this.#rests[walk] = this.#rests[walk] === true || isResting(reading);
    block.walk[row] = walk;
    block.lane[row] = this.#lanes.numberOf(reading.lane);
    block.device[row] = this.#names.numberOf(reading.device);
    block.end[row] = this.#names.numberOf(reading.end ?? "");
    block.point[row] = this.#names.numberOf(reading.point);
    block.meter[row] = this.#names.numberOf(reading.meter);
    block.volts[row] = reading.volts;
    block.step[row] = this.#steps.numberOf(reading.step);
    block.flags[row] = (reading.meterOn ? 1 : 0) + 2 * states.indexOf(reading.state);
    block.takenAt[row] = this.#texts.takenAt.add(reading.takenAt?.text ?? null);
    block.id[row] = this.#texts.id.add(reading.id);
    block.by[row] = this.#texts.by.add(reading.by);
    block.note[row] = this.#texts.note.add(reading.note);
    block.line[row] = reading.line;
    this.#size += 1;
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
      takenAt: this.#moment(block.takenAt[row]!),
      walk: this.#walks.at(block.walk[row]!),
      meter: this.#names.at(block.meter[row]!),
      meterOn: (flags & 1) !== 0,
      state: states[flags >> 1]!,
      id: this.#texts.id.at(block.id[row]!),
      by: this.#texts.by.at(block.by[row]!),
      note: this.#texts.note.at(block.note[row]!),
      line: block.line[row]!,
    };
  };

  #moment(place: number): Moment | null {
    const text = this.#texts.takenAt.at(place);
    return text === null ? null : readMoment(text);
  }
}
