/**
 * One price for all contacts of a connector: a cleaning cleans them all and costs once.
 *
 * A step's cost is what waiting costs less what the contact gains by it that gains most, paying the
 * whole price by itself: the contact that drives the work. What the others gain is left out of the
 * choice, for to count it would count the next work of each as one of its own. Held against one
 * decision process over the states of both of two contacts, that costs at most 1.03 times the optimum
 * where a lane hangs on them, 1.06 where little does (tests/policy/shared-price.test.ts). Prices shared
 * by a Lagrangian bound do worse: a bound lets all pay for every later work, and so puts off for ever
 * what only one contact needs.
 */

/** What one contact's step costs it at each share of the price, work's price left out. */
export interface ContactSteps {
  readonly wait: readonly number[];
  readonly act: readonly number[];
}

/**
 * The shares of every price at which a contact's policy is solved: its even share, by which waiting is
 * reckoned so that the contacts' costs add up to the connector's, and the whole.
 */
export const sharesFor = (contacts: number): readonly number[] =>
  contacts === 1 ? [1] : [1 / contacts, 1];

/** What waiting costs: the contacts' costs at even shares. */
export const waitingCost = (contacts: readonly ContactSteps[]): number =>
  contacts.reduce((sum, { wait }) => sum + wait[0]!, 0);

/** What a step saves against waiting, its price paid: most for the contact that drives it. */
export const drivenGain = (contacts: readonly ContactSteps[], price: number): number =>
  Math.max(...contacts.map(({ wait, act }) => wait.at(-1)! - act.at(-1)!)) - price;
