/** The delimiter under which most headings are known; in doubt the one that gives most columns. */
export function likelyDelimiter(
  headerLine: string,
  known: (names: readonly string[]) => number,
  split: (line: string, delimiter: string) => readonly string[],
): string {
  let best = ",";
  for (const delimiter of [";", "\t"]) {
    if (!headerLine.includes(delimiter)) continue;
    const [these, those] = [split(headerLine, delimiter), split(headerLine, best)];
    const better = known(these) - known(those);
    if (better > 0 || (better === 0 && these.length > those.length)) best = delimiter;
  }
  return best;
}
