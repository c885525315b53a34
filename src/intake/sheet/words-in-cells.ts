import { didYouMean } from "../nearest.ts";
import { plainName } from "../pool-names.ts";
import { quoted } from "../quoted.ts";

/** One of a few words, case, blanks and hyphens aside; null where it is none of them. */
export function oneOf<Word extends string>(text: string, words: readonly Word[]): Word | null {
  const wanted = plainName(text);
  return words.find((word) => word === wanted) ?? null;
}

/** `kind is 'finger': one of fingertip, open-hand; did you mean 'fingertip'?` */
export const notOneOf = (column: string, text: string, words: readonly string[]): string =>
  `${column} is ${quoted(text)}: one of ${words.join(", ")}${didYouMean(text, words)}`;
