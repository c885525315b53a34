import { type ContactChain, type Entry, type ModeBlock, ofKind } from "./contact-chain.ts";

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
  for (let a = 0; a < ages.length; a++)
    for (const block of chain.blocks) carryBlock(chain, block, values, out, a * size);
  for (let a = 0; a + 1 < ages.length; a++) {
    const q = ageing[a]!;
    const [here, older] = [a * size, (a + 1) * size];
    for (let s = 0; s < size; s++) out[here + s] = (1 - q) * out[here + s]! + q * out[older + s]!;
  }
}

/** One mode's states at one age, ageing left out. */
function carryBlock(
  { law, weeks, kinds }: ContactChain,
  block: ModeBlock,
  values: Float64Array,
  out: Float64Array,
  offset: number,
): void {
  const { rates, mendable } = law;
  const mixed = (at: number): number =>
    mendable * values[offset + at]! + (1 - mendable) * values[offset + at + 1]!;
  const chance = (rate: number): number => -Math.expm1(-rate * weeks);
  const [fouls, opens, comes] = [
    chance(rates.fouled),
    chance(rates.open),
    chance(rates.intermittent),
  ];
  const stays = (1 - fouls) * (1 - opens) * (1 - comes);
  const open = mixed(block.open);
  const loose = mixed(block.intermittent);
  const shift = block.levels.length;
  const faulty = opens * open + (1 - opens) * comes * loose;
  const share = (1 - opens) * (1 - comes) * fouls;
  const storm = chance(law.steps.perWeek);
  for (const kind of kinds.oxide.keys()) {
    const start = offset + ofKind(block, block.start, kind);
    const fouledAs = Math.max(kind, kinds.fresh) * shift;
    const jump = faulty + share * expectedAt(block.fouled, values, offset + fouledAs);
    for (let j = 0; j < shift; j++) {
      let grown = along(block.next, values, start, j);
      if (storm > 0) {
        let risen = 0;
        for (const { weight, to } of block.risen) risen += weight * along(to, values, start, j);
        grown += storm * (risen - grown);
      }
      out[start + j] = stays * grown + jump;
    }
  }
  const mends = chance(rates.mends);
  const floor = expectedAt(block.floor, values, offset + kinds.fresh * shift);
  for (const at of [block.open, block.open + 1, block.intermittent, block.intermittent + 1])
    out[offset + at] = values[offset + at]! + mends * (floor - values[offset + at]!);
}

function along(
  moves: ModeBlock["next"],
  values: Float64Array,
  start: number,
  level: number,
): number {
  const at = start + moves.index[level]!;
  const part = moves.part[level]!;
  return (1 - part) * values[at]! + part * values[at + 1]!;
}
