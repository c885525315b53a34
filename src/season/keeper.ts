/**
 * Answers that were found before, held by whoever has a place for them: a season is read again by every
 * command, and a walk of last month says the same today. An answer stands under everything that it was
 * found from, so that another pool file, reading or work asks anew.
 */
export interface Keeper {
  /** The answer to this question; undefined where nobody has found it yet. */
  readonly known: <T>(question: Question) => T | undefined;
  readonly keep: (question: Question, answer: unknown) => void;
}

/** What was asked, and all that the answer depends on, as plain values. */
export interface Question {
  readonly what:
    | ("walk" | "walk-alone" | "trend" | "decisions" | "options" | "learnt")
    | ("picture" | "word-file" | "well-formed");
  /** The walk that it is about; the season's questions, and those about papers, are about none. */
  readonly walk: string | null;
  /** The pool stands first; of papers, what they are made from. */
  readonly from: readonly unknown[];
}

/** Holds nothing. */
export const noKeeper: Keeper = { known: () => undefined, keep: () => {} };

/** The answer that is held; else it is found, and held from now on. */
export function askOnce<T>(keeper: Keeper, question: Question, find: () => T): T {
  const known = keeper.known<T>(question);
  if (known !== undefined) return known;
  const found = find();
  keeper.keep(question, found);
  return found;
}

/** Asks about one season: a question's answer depends on all that the season was opened from. */
export type AskSeason = <T>(what: Question["what"], more: readonly unknown[], find: () => T) => T;

/** Values as text of which none is like another's: what JSON has no word for is spelt out. */
export const spelt = (value: unknown): string => JSON.stringify(value, spellOut);

const spellOut = (_: string, value: unknown): unknown => {
  if (typeof value === "number" && !Number.isFinite(value)) return { number: String(value) };
  if (value instanceof Map) return { map: [...value] };
  return value;
};
