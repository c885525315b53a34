import { type ContactChain, type Entry, type ModeBlock, ofKind } from "./contact-chain.ts";
import { type Flow, flowOf, type Onward, otherAt } from "./push.ts";

/** Expected value of a row of entries. */
export function expectedAt(
  entries: readonly Entry[],
  values: Float64Array,
  offset: number,
): number {
  let sum = 0;
  for (const { state, weight } of entries) sum += weight * values[offset + state]!;
  return sum;
}

/**
 * Expected values one check on, nothing done and the body not broken: for each state s of age a,
 *
 *     out(s, a) = (1 - q_a) C(s, a) + q_a C(s, a + 1),    C(s, a) = sum over s' P(s' | s) v(s', a)
 *
 * where P is growth, storms and the chances of going faulty, and q_a the chance of the next age.
 */
export function carry(chain: ContactChain, values: Float64Array, out: Float64Array): void {
  const { size, ages, ageing } = chain;
  const flow = flowOf(chain);
  for (let a = 0; a < ages.length; a++)
    for (let k = 0; k < chain.blocks.length; k++)
      carryBlock(chain, chain.blocks[k]!, flow, flow.onward[k]!, values, out, a * size);
  for (let a = 0; a + 1 < ages.length; a++) {
    const q = ageing[a]!;
    const [here, older] = [a * size, (a + 1) * size];
    for (let s = 0; s < size; s++) out[here + s] = (1 - q) * out[here + s]! + q * out[older + s]!;
  }
}

/** One mode's states at one age, ageing left out. */
function carryBlock(
  { kinds }: ContactChain,
  block: ModeBlock,
  flow: Flow,
  { first, to, weight }: Onward,
  values: Float64Array,
  out: Float64Array,
  offset: number,
): void {
  const levels = block.levels.length;
  let faulty = 0;
  for (let k = 0; k < 4; k++) faulty += flow.faulty[k]! * values[offset + otherAt(block, k)]!;
  for (let kind = 0; kind < kinds.oxide.length; kind++) {
    const start = offset + ofKind(block, block.start, kind);
    const fouledAs = Math.max(kind, kinds.fresh) * levels;
    const jump = faulty + flow.fouled * expectedAt(block.fouled, values, offset + fouledAs);
    for (let j = 0; j < levels; j++) {
      let sum = jump;
      const end = first[j + 1]!;
      for (let k = first[j]!; k < end; k++) sum += weight[k]! * values[start + to[k]!]!;
      out[start + j] = sum;
    }
  }
  const floor = expectedAt(block.floor, values, offset + kinds.fresh * levels);
  for (let k = 0; k < 4; k++) {
    const at = offset + otherAt(block, k);
    out[at] = values[at]! + flow.mends * (floor - values[at]!);
  }
}
