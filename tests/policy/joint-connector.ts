import { carry, expectedAt } from "../../src/policy/carry.ts";
import { type ContactChain, troubleCost, troubleWeeks } from "../../src/policy/contact-chain.ts";
import type { StepPrices } from "../../src/policy/contact-law.ts";
import { cleaned } from "../../src/policy/solve-chain.ts";

/**
 * A connector of several contacts solved as what it is, one decision process over the states of all
 * of them at once: the optimum that policies reckoned contact by contact are held against. The chains
 * of the contacts are taken as given, their coupling by one price is not. One age of the body.
 */
export interface Joint {
  /** Expected cost of a new connector, and of each joint state, before the first stage. */
  readonly fresh: number;
  readonly best: Float64Array;
}

/** Which step is taken in a joint state: 0 wait, 1 clean, 2 replace. */
export type Chooser = (states: readonly number[], stage: "first" | "second") => 0 | 1 | 2;

/** Applies a map of one contact's values along one axis of a joint table. */
function along(
  values: Float64Array,
  size: number,
  contacts: number,
  axis: number,
  map: (from: Float64Array, to: Float64Array) => void,
): Float64Array {
  const out = new Float64Array(values.length);
  const stride = size ** (contacts - 1 - axis);
  const [from, to] = [new Float64Array(size), new Float64Array(size)];
  for (let high = 0; high < values.length; high += stride * size)
    for (let low = 0; low < stride; low++) {
      for (let s = 0; s < size; s++) from[s] = values[high + low + s * stride]!;
      map(from, to);
      for (let s = 0; s < size; s++) out[high + low + s * stride] = to[s]!;
    }
  return out;
}

function everywhere(
  values: Float64Array,
  chains: readonly ContactChain[],
  map: (chain: ContactChain, from: Float64Array, to: Float64Array) => void,
): Float64Array {
  const { size } = chains[0]!;
  let table = values;
  for (const [axis, chain] of chains.entries())
    table = along(table, size, chains.length, axis, (from, to) => map(chain, from, to));
  return table;
}

/** Mean over the states of new contacts. */
function freshValue(values: Float64Array, chains: readonly ContactChain[]): number {
  const table = everywhere(values, chains, (chain, from, to) =>
    to.fill(expectedAt(chain.fresh, from, 0)),
  );
  return table[0]!;
}

/**
 * Backward over so many walks; with a chooser its own costs, else the optimum's.
 *
 * @param prices of each contact; cleaning and replacing are the connector's, read off the first
 */
export function jointConnector(
  chains: readonly ContactChain[],
  prices: readonly StepPrices[],
  rate: number,
  walks: number,
  choose: Chooser | null,
): Joint {
  const [{ size, weeks, breaking }] = chains as readonly [ContactChain];
  const total = size ** chains.length;
  const losses = chains.map((chain, c) => troubleCost(troubleWeeks(chain), prices[c]!));
  const statesAt = (at: number): number[] =>
    chains.map((_, c) => Math.floor(at / size ** (chains.length - 1 - c)) % size);
  const loss = Float64Array.from({ length: total }, (_, at) =>
    statesAt(at).reduce((sum, s, c) => sum + losses[c]![s]!, 0),
  );
  const acts = (stage: "first" | "second"): Uint8Array | null =>
    choose === null
      ? null
      : Uint8Array.from({ length: total }, (_, at) => choose(statesAt(at), stage));
  const [first, second] = [acts("first"), acts("second")];
  const [breaks] = breaking;
  const { clean, replace } = prices[0]!;
  const openWeek = prices.reduce((sum, each) => sum + each.openWeek, 0);
  const on = (1 + rate) ** (-weeks / 52);
  let best = new Float64Array(total);
  let fresh = 0;
  for (let t = walks - 1; t >= 0; t--) {
    const next = everywhere(best, chains, carry);
    const refit = on * (replace + freshValue(best, chains));
    const wait = next.map(
      (value, at) =>
        (1 - breaks!) * (loss[at]! + on * value) + breaks! * ((openWeek * weeks) / 2 + refit),
    );
    fresh = freshValue(wait, chains);
    const afterWait = everywhere(wait, chains, cleaned);
    const pick = (chosen: Uint8Array | null, after: Float64Array): Float64Array =>
      wait.map((value, at) => {
        const costs = [value, clean + after[at]!, replace + fresh] as const;
        return chosen === null ? Math.min(...costs) : costs[chosen[at] as 0 | 1 | 2];
      });
    const again = pick(second, afterWait);
    best = pick(first, everywhere(again, chains, cleaned)) as Float64Array<ArrayBuffer>;
  }
  return { fresh, best };
}
