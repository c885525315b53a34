import type { ContactChain, Entry, ModeBlock } from "./contact-chain.ts";
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

/** Kinds that are carried together: each place and weight is then looked up once. */
const SIDE_BY_SIDE = 4;

/** Levels of some kinds from `kind` on, as many as go side by side; there may be fewer. */
function carryRows(
  { first, to, weight }: Onward,
  jumps: readonly number[],
  kind: number,
  values: Float64Array,
  out: Float64Array,
  start: number,
): void {
  const levels = first.length - 1;
  const last = jumps.length - 1;
  // Beyond the last kind the last one once more: it comes out the same.
  const [k1, k2, k3] = [1, 2, 3].map((more) => Math.min(last, kind + more)) as [
    number,
    number,
    number,
  ];
  const r0 = start + kind * levels;
  const [r1, r2, r3] = [start + k1 * levels, start + k2 * levels, start + k3 * levels];
  const [j0, j1, j2, j3] = [jumps[kind]!, jumps[k1]!, jumps[k2]!, jumps[k3]!];
  let k = 0;
  for (let j = 0; j < levels; j++) {
    let s0 = j0;
    let s1 = j1;
    let s2 = j2;
    let s3 = j3;
    for (const end = first[j + 1]!; k < end; k++) {
      const share = weight[k]!;
      const at = to[k]!;
      s0 += share * values[r0 + at]!;
      s1 += share * values[r1 + at]!;
      s2 += share * values[r2 + at]!;
      s3 += share * values[r3 + at]!;
    }
    out[r0 + j] = s0;
    out[r1 + j] = s1;
    out[r2 + j] = s2;
    out[r3 + j] = s3;
  }
}

/** One mode's states at one age, ageing left out. */
function carryBlock(
  { kinds }: ContactChain,
  block: ModeBlock,
  flow: Flow,
  onward: Onward,
  values: Float64Array,
  out: Float64Array,
  offset: number,
): void {
  const levels = block.levels.length;
  let faulty = 0;
  for (let k = 0; k < 4; k++) faulty += flow.faulty[k]! * values[offset + otherAt(block, k)]!;
  const jumps = kinds.oxide.map((_, kind) => {
    const fouledAs = Math.max(kind, kinds.fresh) * levels;
    return faulty + flow.fouled * expectedAt(block.fouled, values, offset + fouledAs);
  });
  const start = offset + block.start;
  for (let kind = 0; kind < jumps.length; kind += SIDE_BY_SIDE)
    carryRows(onward, jumps, kind, values, out, start);
  const floor = expectedAt(block.floor, values, offset + kinds.fresh * levels);
  for (let k = 0; k < 4; k++) {
    const at = offset + otherAt(block, k);
    out[at] = values[at]! + flow.mends * (floor - values[at]!);
  }
}
