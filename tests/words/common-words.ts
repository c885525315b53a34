/** The words of a text, of two letters and more, in lower case, without those that stand in `left`. */
export const wordsOf = (text: string, left: ReadonlySet<string>): readonly string[] =>
  [...new Set(text.toLowerCase().match(/[\p{L}_]{2,}/gu))].filter((word) => !left.has(word));

/** Names, and words that two languages share. */
export const wordSet = (...texts: readonly string[]): ReadonlySet<string> =>
  new Set(
    texts
      .join(" ")
      .toLowerCase()
      .match(/[\p{L}_]+/gu),
  );

/** All figures, in order of size as text, with a decimal point whatever the language. */
export const figuresOf = (text: string): readonly string[] =>
  [...text.matchAll(/\d+(?:[.,]\d+)*/g)].map(([figure]) => figure.replace(",", ".")).sort();
