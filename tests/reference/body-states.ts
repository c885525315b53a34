import type { TestPool as Pool } from "../plain-pool.ts";

/** The three states of a contact, in the order of the model's section 4. */
export type ContactState = "sound" | "fouled" | "open";

/** A set of contaminated bodies along one circuit: bit k stands for link k of the chain. */
export interface Bodies {
  readonly mask: number;
  readonly probability: number;
}

/** Every combination of the bodies that are shared by the whole pool, or by one lane. */
export const bodyCombinations = (pool: Pool, sharedBy: "pool" | "lane"): Bodies[] =>
  pool.chain.reduce<Bodies[]>(
    (sets, link, k) =>
      link.sharedBy !== sharedBy
        ? sets
        : sets.flatMap(({ mask, probability }) => [
            { mask, probability: probability * (1 - link.contaminated) },
            { mask: mask | (1 << k), probability: probability * link.contaminated },
          ]),
    [{ mask: 0, probability: 1 }],
  );

/** P(state of contact k | bodies): open is a tenth of fouled, sound is the rest. */
export const stateChance = (pool: Pool, k: number, mask: number, state: ContactState): number => {
  const link = pool.chain[k]!;
  const fouled = (mask >> k) & 1 ? link.fouledIfContaminated : link.fouled;
  return state === "fouled" ? fouled : state === "open" ? fouled / 10 : 1 - 1.1 * fouled;
};
