import type { Quantiles, ReferenceAnswer } from "./brute-force.ts";

/** The largest differences between two answers for the same walk. */
export interface Disagreement {
  /** Of any state's or connector's probability. */
  readonly probability: number;
  /** Of the log evidence, natural units. */
  readonly logEvidence: number;
  /** Of any median resistance, relative; infinite where only one of the two is open. */
  readonly median: number;
  /** Of any 5 % or 95 % resistance, relative; infinite where only one of the two is open. */
  readonly bound: number;
  /** Of the EMF's quantiles [V]. */
  readonly emf: number;
}

const relative = (a: number | null, b: number | null): number => {
  if (a === null || b === null) return a === b ? 0 : Number.POSITIVE_INFINITY;
  return Math.abs(a - b) / Math.abs(b);
};

const largest = (values: readonly number[]): number => Math.max(0, ...values);

const keyOf = (item: { point: string; lane: unknown; device: unknown }): string =>
  JSON.stringify([item.point, item.lane, item.device]);

/** Pairs the items of two lists by what they are about; both lists must be about the same. */
const paired = <A extends { point: string; lane: unknown; device: unknown }>(
  mine: readonly A[],
  theirs: readonly A[],
): (readonly [A, A])[] => {
  const byKey = new Map(mine.map((item) => [keyOf(item), item]));
  if (byKey.size !== theirs.length) throw new Error("the two answers are about different things");
  return theirs.map((item) => {
    const match = byKey.get(keyOf(item));
    if (!match) throw new Error(`nothing said about ${keyOf(item)}`);
    return [match, item] as const;
  });
};

const emfGaps = (a: Quantiles, b: Quantiles): number[] =>
  ([a.median, a.low, a.high] as const).map((value, i) =>
    Math.abs((value ?? Number.NaN) - ([b.median, b.low, b.high][i] ?? Number.NaN)),
  );

/** How far `mine` is from `theirs`. Throws where they are not about the same contacts. */
export const largestDisagreement = (
  mine: ReferenceAnswer,
  theirs: ReferenceAnswer,
): Disagreement => {
  const contacts = paired(mine.contacts, theirs.contacts);
  const connectors = paired(mine.connectors, theirs.connectors);
  return {
    probability: largest([
      ...contacts.flatMap(([a, b]) =>
        (["sound", "fouled", "open"] as const).map((state) => Math.abs(a[state] - b[state])),
      ),
      ...connectors.map(([a, b]) => Math.abs(a.atFault - b.atFault)),
    ]),
    logEvidence: Math.abs(mine.logEvidence - theirs.logEvidence),
    median: largest(contacts.map(([a, b]) => relative(a.ohms.median, b.ohms.median))),
    bound: largest(
      contacts.flatMap(([a, b]) => [
        relative(a.ohms.low, b.ohms.low),
        relative(a.ohms.high, b.ohms.high),
      ]),
    ),
    emf: largest(emfGaps(mine.emf, theirs.emf)),
  };
};
