import type { ContactChain } from "./contact-chain.ts";

/**
 * How old connectors' bodies are, by what their contacts are: chances of each age for each mode of
 * growth and number of failed cleanings. How far the contact has grown is taken as independent of the
 * body's age where these are given (an approximation: the two begin together at a replacement).
 */
export class BodyAges {
  /** `[failed][mode][age]`: chances. */
  private readonly table: Float64Array;
  private readonly fine: Float64Array;
  private readonly chain: ContactChain;

  constructor(chain: ContactChain, failures: number) {
    this.chain = chain;
    this.table = new Float64Array(failures * chain.blocks.length * chain.ages.length);
    this.fine = new Float64Array(chain.blocks.length * chain.ages.length);
  }

  private at(failed: number, mode: number): number {
    return (failed * this.chain.blocks.length + mode) * this.chain.ages.length;
  }

  /** Bodies of an age where no cleaning has failed. */
  add(mode: number, age: number, chance: number): void {
    this.table[this.at(0, mode) + age]! += chance;
  }

  /** Is there anything after so many failures? */
  any(failed: number): boolean {
    const [from, to] = [this.at(failed, 0), this.at(failed + 1, 0)];
    for (let k = from; k < to; k++) if (this.table[k]! > 1e-15) return true;
    return false;
  }

  /** All chances of one cell. */
  private sum(at: number): number {
    let sum = 0;
    for (let a = 0; a < this.chain.ages.length; a++) sum += this.table[at + a]!;
    return sum;
  }

  /** A cleaning: so much of a cell fails and goes on, is fine and waits for `settle`, is replaced. */
  move(failed: number, onward: number, mode: number, amounts: Moved): void {
    const [from, to] = [this.at(failed, mode), this.at(onward, mode)];
    const whole = this.sum(from);
    if (whole <= 0) return;
    const { ages } = this.chain;
    const leaves = (amounts.fails + amounts.fine + amounts.replaced) / whole;
    for (let a = 0; a < ages.length; a++) {
      const here = this.table[from + a]!;
      this.table[from + a] = here * Math.max(0, 1 - leaves);
      this.table[to + a]! += (here * amounts.fails) / whole;
      this.fine[mode * ages.length + a]! += (here * amounts.fine) / whole;
    }
  }

  /** What is fine after a walk's cleanings counts no failures. */
  settle(): void {
    for (let k = 0; k < this.fine.length; k++) this.table[k]! += this.fine[k]!;
    this.fine.fill(0);
  }

  /** A share of all replaced. */
  keep(share: number): void {
    for (let k = 0; k < this.table.length; k++) this.table[k]! *= share;
  }

  /** One walk on; returns P(it breaks on the way) in a cell. */
  passOn(failed: number, mode: number): number {
    const { ages, ageing, breaking } = this.chain;
    const at = this.at(failed, mode);
    let [whole, kept, older] = [0, 0, 0];
    for (let a = 0; a < ages.length; a++) {
      const here = this.table[at + a]!;
      const left = here * (1 - breaking[a]!);
      whole += here;
      kept += left;
      this.table[at + a] = older + (1 - ageing[a]!) * left;
      older = ageing[a]! * left;
    }
    return whole > 0 ? 1 - kept / whole : 0;
  }
}

/** What becomes of a cell's contacts at a walk. */
export interface Moved {
  fails: number;
  fine: number;
  replaced: number;
}
