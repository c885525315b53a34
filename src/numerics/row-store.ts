/**
 * Rows of zeros out of few buffers. Up to eight numbers lie in a typed array itself; a longer one takes a
 * buffer of its own, which costs as much as to fill some hundred numbers.
 */
export class RowStore {
  readonly #length: number;
  #buffer: Float64Array<ArrayBuffer>;
  #taken = 0;

  /** @param length How many numbers there will be in all, near enough; 0 or more. */
  constructor(length: number) {
    this.#length = length;
    this.#buffer = new Float64Array(length);
  }

  /** A row of `length` zeros that nothing else writes to. */
  row(length: number): Float64Array {
    if (length <= WITHIN) return new Float64Array(length);
    if (this.#taken + length > this.#buffer.length) {
      this.#buffer = new Float64Array(Math.max(length, this.#length));
      this.#taken = 0;
    }
    const from = this.#taken;
    this.#taken += length;
    return new Float64Array(this.#buffer.buffer, from * Float64Array.BYTES_PER_ELEMENT, length);
  }
}

const WITHIN = 8;
