/** A seeded stream of chance: the same seed gives the same draws on every machine. */
export interface Random {
  /** Evenly in [0, 1). */
  readonly uniform: () => number;
  /** Standard normal, by Box and Muller's transform. */
  readonly normal: () => number;
  readonly chance: (probability: number) => boolean;
}

/** mulberry32 (Tommy Ettinger, public domain): 32 bits of state, ample for a study of this size. */
export const seededRandom = (seed: number): Random => {
  let state = seed >>> 0;
  const uniform = (): number => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), state | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 2 ** 32;
  };
  const normal = (): number =>
    Math.sqrt(-2 * Math.log(1 - uniform())) * Math.cos(2 * Math.PI * uniform());
  return { uniform, normal, chance: (probability) => uniform() < probability };
};
