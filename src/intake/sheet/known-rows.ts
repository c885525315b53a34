/**
 * Tells the rows of a small sheet that repeat an earlier one: known by a key, which is null where a
 * row can't be told from a second one that happens to say the same.
 */
export class KnownRows {
  readonly #lines = new Map<string, number>();
  #repeats: { readonly line: number; readonly first: number }[] = [];

  /** True where the row is known already: it counts once. */
  isRepeat(key: string | null, line: number): boolean {
    if (key === null) return false;
    const first = this.#lines.get(key);
    if (first === undefined) this.#lines.set(key, line);
    else this.#repeats.push({ line, first });
    return first !== undefined;
  }

  get repeats(): number {
    return this.#repeats.length;
  }

  /** One sentence about them, null where there are none. */
  get words(): string | null {
    const [one] = this.#repeats;
    if (one === undefined) return null;
    const more = this.repeats === 1 ? "" : ` (and ${this.repeats - 1} more like it)`;
    return `line ${one.line} says the same as line ${one.first}${more}: counted once`;
  }
}
