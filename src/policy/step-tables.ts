import { expectedAt } from "./carry.ts";
import type { ClassPolicy, Stage } from "./class-policy.ts";
import { ageShares, type BeliefPoint, modesFor } from "./contact-belief.ts";
import { type ContactChain, ofKind } from "./contact-chain.ts";
import { placeOn } from "./level-grid.ts";

/** Which values a step's cost is read off. */
type Family = "wait" | "later" | "cured";

/**
 * A contact's values by its level alone, for each mode and chance of oxide that somebody asks for: age
 * and kind are averaged once, so that a belief's points, and a scan over readings, are looked up.
 */
export class StepTables {
  readonly chain: ContactChain;
  /** What a new contact costs, by what the others of its path have over sound ones. */
  readonly fresh = new Map<number, readonly number[]>();
  private readonly ages: ReturnType<typeof ageShares>;
  private readonly values: Readonly<Record<Family, readonly Float64Array[]>>;
  private readonly rows: Readonly<Record<Family, Map<number, readonly Float64Array[]>[]>>;

  constructor(policy: ClassPolicy, cured: ClassPolicy, ageWeeks: number, stage: Stage) {
    this.chain = policy.byShare[0]!.solved.chain;
    this.ages = ageShares(this.chain, ageWeeks);
    const later = ({ byShare }: ClassPolicy): readonly Float64Array[] =>
      byShare.map(({ solved }) => (stage === "first" ? solved.second : solved.wait));
    this.values = {
      wait: policy.byShare.map(({ solved }) => solved.wait),
      later: later(policy),
      cured: later(cured),
    };
    const empty = () => this.chain.blocks.map(() => new Map<number, readonly Float64Array[]>());
    this.rows = { wait: empty(), later: empty(), cured: empty() };
  }

  /** Expected values of states of one age, one of each share of the price. */
  ofStates(states: Parameters<typeof expectedAt>[0], family: Family): Float64Array {
    return Float64Array.from(this.values[family], (values) =>
      this.ages.reduce(
        (sum, { index, share }) =>
          sum + share * expectedAt(states, values, index * this.chain.size),
        0,
      ),
    );
  }

  /** Adds a conducting point's values, times a weight, for each share of the price. */
  add(
    family: Family,
    growth: BeliefPoint["growth"],
    oxide: number,
    level: number,
    weight: number,
    sums: Float64Array,
  ): void {
    for (const { mode, share } of modesFor(this.chain, growth, level)) {
      const { index, part } = placeOn(this.chain.blocks[mode]!.levels, level);
      const rows = this.rowsOf(family, mode, oxide);
      for (let n = 0; n < sums.length; n++) {
        const row = rows[n]!;
        sums[n]! += weight * share * ((1 - part) * row[index]! + part * row[index + 1]!);
      }
    }
  }

  private rowsOf(family: Family, mode: number, oxide: number): readonly Float64Array[] {
    const known = this.rows[family][mode]!.get(oxide);
    if (known !== undefined) return known;
    const rows = this.values[family].map((values) => this.rowOf(values, mode, oxide));
    this.rows[family][mode]!.set(oxide, rows);
    return rows;
  }

  private rowOf(values: Float64Array, mode: number, oxide: number): Float64Array {
    const { blocks, kinds, size } = this.chain;
    const block = blocks[mode]!;
    const { index, part } = placeOn(kinds.oxide, oxide);
    const row = new Float64Array(block.levels.length);
    for (const { index: age, share } of this.ages)
      for (let j = 0; j < row.length; j++) {
        const here = age * size + ofKind(block, block.start + j, index);
        const next = here + row.length;
        row[j]! += share * ((1 - part) * values[here]! + part * values[next]!);
      }
    return row;
  }
}
