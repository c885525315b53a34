import { type ContactChain, ofKind } from "./contact-chain.ts";

/** Moves chances through a cleaning: what is cured to its floor, the rest by what a failure says. */
export function cleanMass(chain: ContactChain, from: Float64Array, out: Float64Array): void {
  const { law, size, ages, kinds } = chain;
  for (let offset = 0; offset < ages.length * size; offset += size)
    for (const block of chain.blocks) {
      const shift = block.levels.length;
      let cured = 0;
      for (const [kind, oxide] of kinds.oxide.entries()) {
        const chance = (1 - oxide) * law.cure;
        const { index, part } = kinds.failed[kind]!;
        const start = offset + ofKind(block, block.start, kind);
        const after = offset + ofKind(block, block.start, index);
        for (let j = 0; j < shift; j++) {
          const here = from[start + j]!;
          if (here === 0) continue;
          cured += chance * here;
          out[after + j]! += (1 - chance) * (1 - part) * here;
          out[after + shift + j]! += (1 - chance) * part * here;
        }
      }
      let mended = 0;
      for (const at of [offset + block.open, offset + block.intermittent]) {
        mended += from[at]!;
        out[at + 1]! += from[at + 1]!;
      }
      for (const { state, weight } of block.floor) {
        out[offset + state]! += cured * weight;
        out[offset + ofKind(block, state, kinds.fresh)]! += mended * weight;
      }
    }
}
