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
    moveContact(here, move, after, next);
    here = next;
  }
  return here;
}

/** Moves the contact whose state changes every `after` entries: most of a season's carrying goes by here. */
function moveContact(
  from: Float64Array,
  move: Float64Array,
  after: number,
  to: Float64Array,
): void {
  const [a0, a1, a2, a3] = move as unknown as Row;
  const [b0, b1, b2, b3] = move.subarray(STATES) as unknown as Row;
  const [c0, c1, c2, c3] = move.subarray(2 * STATES) as unknown as Row;
  const [d0, d1, d2, d3] = move.subarray(3 * STATES) as unknown as Row;
  const [second, third] = [2 * after, 3 * after];
  for (let block = 0; block < from.length; block += STATES * after)
    for (let i = block; i < block + after; i++) {
      const sound = from[i]!;
      const fouled = from[i + after]!;
      const open = from[i + second]!;
      const intermittent = from[i + third]!;
      to[i] = sound * a0 + fouled * b0 + open * c0 + intermittent * d0;
      to[i + after] = sound * a1 + fouled * b1 + open * c1 + intermittent * d1;
      to[i + second] = sound * a2 + fouled * b2 + open * c2 + intermittent * d2;
      to[i + third] = sound * a3 + fouled * b3 + open * c3 + intermittent * d3;
    }
}

/** Chances of going to each state. */
type Row = readonly [number, number, number, number];
