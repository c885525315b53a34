/**
 * Letters to insert, drop, change or swap to get from one word to the other.
 *
 * Optimal string alignment distance: a swap of two neighbours counts as one slip, as it does for a
 * person who types.
 */
function slips(from: string, to: string): number {
  let before: number[] = [];
  let last = Array.from({ length: to.length + 1 }, (_, j) => j);
  for (let i = 1; i <= from.length; i++) {
    const now = [i];
    for (let j = 1; j <= to.length; j++) {
      const change = from[i - 1] === to[j - 1] ? 0 : 1;
      let least = Math.min(last[j]! + 1, now[j - 1]! + 1, last[j - 1]! + change);
      const swapped = i > 1 && j > 1 && from[i - 1] === to[j - 2] && from[i - 2] === to[j - 1];
      if (swapped) least = Math.min(least, before[j - 2]! + 1);
      now.push(least);
    }
    before = last;
    last = now;
  }
  return last[to.length]!;
}

/**
 * The known name that a person most likely meant, null where none is near.
 *
 * Near: at most one slip for every three letters of the longer word, case aside, and at least one
 * letter right. Words over 60 letters are nobody's slip.
 */
export function nearest(word: string, known: readonly string[]): string | null {
  const wanted = word.toLowerCase();
  if (wanted === "" || wanted.length > 60) return null;
  let best: string | null = null;
  let fewest = Number.POSITIVE_INFINITY;
  for (const name of known) {
    const distance = slips(wanted, name.toLowerCase());
    const longer = Math.max(wanted.length, name.length);
    if (distance < fewest && distance <= Math.ceil(longer / 3) && distance < longer) {
      best = name;
      fewest = distance;
    }
  }
  return best;
}

/** `; did you mean 'harness'?`, or nothing where no known name is near. */
export function didYouMean(word: string, known: readonly string[]): string {
  const name = nearest(word, known);
  return name === null ? "" : `; did you mean '${name}'?`;
}
