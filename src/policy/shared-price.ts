/**
 * Sharing one price among the contacts of a connector.
 *
 * One cleaning cleans them all and costs once. Let f_c(s) be what contact c costs from here on if it
 * had its own policy and paid the share s of every price. For shares that add to 1 the sum of the
 * f_c is a lower bound of what the connector costs: contacts that pay together may not act apart.
 * Each f_c is concave in its share (a least of straight lines), so the best bound is where the next
 * bit of the price is always taken by the contact that it costs most.
 *
 * Source: Lagrangian decomposition of weakly coupled decision processes, Hawkins (2003), Adelman and
 * Mersereau, Operations Research 56 (2008), from memory.
 */

/** What one contact costs at each share of `shares`. */
export type CostByShare = readonly number[];

/**
 * The greatest sum of the contacts' costs over shares that add to 1, by straight lines between the
 * shares given.
 *
 * @param shares ascending, from 0 to 1; with one contact only the last counts
 */
export function sharedCost(shares: readonly number[], contacts: readonly CostByShare[]): number {
  if (contacts.length === 1) return contacts[0]!.at(-1)!;
  const pieces = contacts.flatMap((costs) =>
    shares.slice(1).map((share, k) => {
      const width = share - shares[k]!;
      return { width, slope: (costs[k + 1]! - costs[k]!) / width };
    }),
  );
  pieces.sort((a, b) => b.slope - a.slope);
  let sum = contacts.reduce((total, costs) => total + costs[0]!, 0);
  let left = 1;
  for (const { width, slope } of pieces) {
    if (left <= 1e-12) break;
    const taken = Math.min(width, left);
    sum += taken * slope;
    left -= taken;
  }
  return sum;
}

/** The shares at which a connector of so many contacts is reckoned. */
export const sharesFor = (contacts: number): readonly number[] =>
  contacts === 1 ? [1] : [0, 1 / contacts, 1];
