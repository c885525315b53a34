/** Bytes of text that are set aside at a time; a cell is far shorter. */
const textPiece = 1 << 20;

/** Texts that mostly differ, as UTF-8: of a million notes of twenty letters, 23 MB in place of 100. */
export class KeptTexts {
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
