/** A person's text inside a sentence: in quotes, on one line, cut where it is long; joiners stay. */
export function quoted(text: string): string {
  const line = text.slice(0, 41).replaceAll(/(?![\u200c\u200d])\p{C}/gu, "\uFFFD");
  return text.length > 40 ? `'${line.slice(0, 40)}…'` : `'${line}'`;
}
