/** Every text with two neighbouring digits exchanged. */
const swapped = (text: string): readonly string[] =>
  Array.from({ length: text.length - 1 }, (_, at) => {
    const [one, other] = [text[at]!, text[at + 1]!];
    return `${text.slice(0, at)}${other}${one}${text.slice(at + 2)}`;
  }).filter((one) => one !== text);

/**
 * What may have been meant by a value that was refused: what the reader of sheets proposes, else the
 * same digits with two of them exchanged, where that is a value that the supply can give. The nearest
 * to `expected` first, two at most.
 */
export function didYouMean(reason: string, typed: string, expected: number): readonly string[] {
  const proposed = /did you mean (\d[\d.]*)\?/.exec(reason)?.[1];
  const digits = /^\d[.]\d+$/.test(typed) ? typed.replace(".", "") : "";
  const exchanged = swapped(digits === "" ? "  " : digits)
    .map((text) => `${text.slice(0, 1)}.${text.slice(1)}`)
    .filter((text) => Number(text) > 0 && Number(text) <= 1.2 * expected);
  const away = (text: string): number => Math.abs(Number(text) - expected);
  const all = proposed === undefined ? exchanged : [proposed, ...exchanged];
  return [...new Set(all)].toSorted((a, b) => away(a) - away(b)).slice(0, 2);
}
