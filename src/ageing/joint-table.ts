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
      for (let from = 0; from < STATES; from++) {
        for (let to = 0; to < STATES; to++) {
          const chance = move[from * STATES + to]!;
          if (chance === 0) continue;
          const [source, target] = [block + from * after, block + to * after];
          for (let i = 0; i < after; i++) next[target + i]! += chance * here[source + i]!;
        }
      }
    }
    here = next;
  }
  return here;
}
