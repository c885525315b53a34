import { STATES } from "./kind-moves.ts";

/**
 * A circuit's joint table of states, the first contact slowest, every contact moved by its own
 * matrix of states (from * 4 + to): the contacts move independently, what links them stays.
 */
export function moveTable(table: Float64Array, moves: readonly Float64Array[]): Float64Array {
  if (table.length !== STATES ** moves.length)
    throw new Error(`a table of ${table.length} for ${moves.length} contacts`);
  let here = table;
  let after = table.length;
  for (const move of moves) {
    after /= STATES;
    const next = new Float64Array(table.length);
    for (let block = 0; block < table.length; block += STATES * after) {
      for (let i = block; i < block + after; i++) {
        const [sound, fouled] = [here[i]!, here[i + after]!];
        const [open, intermittent] = [here[i + 2 * after]!, here[i + 3 * after]!];
        for (let to = 0; to < STATES; to++) {
          next[i + to * after] =
            sound * move[to]! +
            fouled * move[STATES + to]! +
            open * move[2 * STATES + to]! +
            intermittent * move[3 * STATES + to]!;
        }
      }
    }
    here = next;
  }
  return here;
}
