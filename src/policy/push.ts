import { type ContactChain, type Entry, type ModeBlock, ofKind } from "./contact-chain.ts";

/**
 * The forward twin of carry.ts: where chances of states go by the next check. It is its transpose:
 * for every row of values v and chances m, `sum m carry(v) = sum push(m) v`.
 */
export function push(chain: ContactChain, mass: Float64Array, out: Float64Array): void {
  const { size, ages, ageing } = chain;
  out.fill(0);
  const moved = new Float64Array(size);
  for (let a = 0; a < ages.length; a++) {
    moved.fill(0);
    const q = ageing[a]!;
    const younger = a === 0 ? 0 : ageing[a - 1]!;
    let any = false;
    for (let s = 0; s < size; s++) {
      const here = (1 - q) * mass[a * size + s]!;
      const before = a === 0 ? 0 : younger * mass[(a - 1) * size + s]!;
      moved[s] = here + before;
      any ||= moved[s]! > 0;
    }
    if (any) for (const block of chain.blocks) pushBlock(chain, block, moved, out, a * size);
  }
}

const addEntries = (
  entries: readonly Entry[],
  mass: number,
  out: Float64Array,
  offset: number,
): void => {
  for (const { state, weight } of entries) out[offset + state]! += mass * weight;
};

function pushBlock(
  { law, weeks, kinds }: ContactChain,
  block: ModeBlock,
  mass: Float64Array,
  out: Float64Array,
  offset: number,
): void {
  const { rates, mendable } = law;
  const chance = (rate: number): number => -Math.expm1(-rate * weeks);
  const [fouls, opens, comes] = [
    chance(rates.fouled),
    chance(rates.open),
    chance(rates.intermittent),
  ];
  const stays = (1 - fouls) * (1 - opens) * (1 - comes);
  const storm = chance(law.steps.perWeek);
  const shift = block.levels.length;
  const fouled = (1 - opens) * (1 - comes) * fouls;
  let all = 0;
  for (const kind of kinds.oxide.keys()) {
    const start = ofKind(block, block.start, kind);
    let whole = 0;
    for (let j = 0; j < shift; j++) {
      const here = mass[start + j]!;
      if (here === 0) continue;
      whole += here;
      spread(block.next, out, offset + start, j, here * stays * (1 - storm));
      if (storm > 0)
        for (const { weight, to } of block.risen)
          spread(to, out, offset + start, j, here * stays * storm * weight);
    }
    all += whole;
    addEntries(block.fouled, fouled * whole, out, offset + Math.max(kind, kinds.fresh) * shift);
  }
  const mends = chance(rates.mends);
  let mended = 0;
  for (const [at, share] of [
    [block.open, opens * mendable],
    [block.open + 1, opens * (1 - mendable)],
    [block.intermittent, (1 - opens) * comes * mendable],
    [block.intermittent + 1, (1 - opens) * comes * (1 - mendable)],
  ] as const) {
    const here = mass[at]!;
    mended += mends * here;
    out[offset + at]! += (1 - mends) * here + share * all;
  }
  addEntries(block.floor, mended, out, offset + kinds.fresh * shift);
}

function spread(
  moves: ModeBlock["next"],
  out: Float64Array,
  start: number,
  level: number,
  mass: number,
): void {
  const at = start + moves.index[level]!;
  const part = moves.part[level]!;
  out[at]! += (1 - part) * mass;
  out[at + 1]! += part * mass;
}
