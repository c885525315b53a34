/** Tables are picked by this many bits of a row's first hash. */
const tableBits = 6;

/** A hash table of its own: open addressing, at most half full. */
interface Table {
  first: Uint32Array;
  second: Uint32Array;
  /** What stands under the two hashes; 0 where nothing does. */
  value: Uint32Array;
  count: number;
}

const tableOf = (length: number): Table => ({
  first: new Uint32Array(length),
  second: new Uint32Array(length),
  value: new Uint32Array(length),
  count: 0,
});

/**
 * Numbers under pairs of 32-bit hashes. Sixty-four small tables, so that one that grows is copied
 * beside the others and not beside itself: of a million rows 25 MB, never 38.
 */
export class RowTable {
  readonly #tables = Array.from({ length: 1 << tableBits }, () => tableOf(64));

  /** What stood there before; 0 where nothing did, and then `value` stands there from now on. */
  findOrAdd(one: number, two: number, value: number): number {
    const at = one >>> (32 - tableBits);
    const table = this.#tables[at]!;
    const slot = slotOf(table, one, two);
    const before = table.value[slot]!;
    if (before !== 0) return before;
    fill(table, slot, one, two, value);
    if (table.count * 2 > table.value.length) this.#tables[at] = grown(table);
    return 0;
  }
}

/** Where a pair stands, or the free slot where it would. */
function slotOf({ first, second, value }: Table, one: number, two: number): number {
  const mask = value.length - 1;
  let slot = (one ^ (two >>> 7)) & mask;
  while (value[slot] !== 0 && (first[slot] !== one || second[slot] !== two)) {
    slot = (slot + 1) & mask;
  }
  return slot;
}

function fill(table: Table, slot: number, one: number, two: number, value: number): void {
  table.first[slot] = one;
  table.second[slot] = two;
  table.value[slot] = value;
  table.count += 1;
}

function grown(table: Table): Table {
  const next = tableOf(table.value.length * 2);
  for (let i = 0; i < table.value.length; i++) {
    if (table.value[i] === 0) continue;
    const [one, two] = [table.first[i]!, table.second[i]!];
    fill(next, slotOf(next, one, two), one, two, table.value[i]!);
  }
  return next;
}
