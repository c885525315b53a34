import { circuitKey } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import { QUARTERS } from "./horizon.ts";
import type { Track } from "./track.ts";
import type { UpkeepGroup } from "./upkeep.ts";

/** A share of a group's connectors that an option keeps in one way. */
export interface Branch {
  /** Shares of a group add to 1. */
  readonly share: number;
  readonly track: Track;
  /** What takes its place, bought by the option: the track of a new connector, and after what year. */
  readonly bought: { readonly track: Track; readonly afterYear: number } | null;
}

/** One connector of a group as an option keeps it, its branches averaged, quarter by quarter. */
export interface Wear {
  /** Work after the first walk. */
  readonly cleanings: Float64Array;
  readonly replacements: Float64Array;
  /** Shares of the time in which each contact is in trouble, and the pool's circuits it lies on. */
  readonly contacts: readonly {
    readonly circuits: Int32Array;
    readonly low: Float64Array;
    readonly open: Float64Array;
    readonly intermittent: Float64Array;
  }[];
}

/** Quarters that go on for ever where a horizon is longer than what was followed: two years. */
const REPEATED = 2 * QUARTERS;

/** Quarter to look a track up at. */
function followed({ cleanings: { length } }: Track, quarter: number): number {
  if (quarter < length) return quarter;
  const again = Math.min(REPEATED, length);
  return length - again + ((quarter - length) % again);
}

/** Adds a branch's figures: before and after what was bought. */
function addBranch(
  { share, track, bought }: Branch,
  of: (track: Track) => Float64Array,
  sums: Float64Array,
): void {
  const from = bought === null ? Number.POSITIVE_INFINITY : bought.afterYear * QUARTERS;
  for (let quarter = 0; quarter < sums.length; quarter++) {
    const now = quarter < from ? track : bought!.track;
    sums[quarter]! += share * of(now)[followed(now, quarter < from ? quarter : quarter - from)]!;
  }
}

const indices = new WeakMap<Pool["circuits"], ReadonlyMap<string, number>>();

/** Where circuits stand in the pool. */
function indicesOf({ circuits }: Pool, keys: readonly string[]): Int32Array {
  const before = indices.get(circuits);
  const made = before ?? new Map(circuits.map((circuit, index) => [circuitKey(circuit), index]));
  indices.set(circuits, made);
  return Int32Array.from(keys, (key) => made.get(key)!);
}

const known = new WeakMap<readonly Branch[], Wear>();

/** What a group wears by, for so many quarters at least: no prices in it, so reckoned once. */
export function wearOf(
  pool: Pool,
  { contacts }: UpkeepGroup,
  branches: readonly Branch[],
  quarters: number,
): Wear {
  const before = known.get(branches);
  if (before !== undefined && before.cleanings.length >= quarters) return before;
  const sum = (of: (track: Track) => Float64Array): Float64Array => {
    const sums = new Float64Array(quarters);
    for (const branch of branches) addBranch(branch, of, sums);
    return sums;
  };
  const made: Wear = {
    cleanings: sum(({ cleanings }) => cleanings),
    replacements: sum(({ replacements }) => replacements),
    contacts: contacts.map(({ circuits }, c) => ({
      circuits: indicesOf(pool, circuits),
      low: sum(({ trouble }) => trouble[c]!.low),
      open: sum(({ trouble }) => trouble[c]!.open),
      intermittent: sum(({ trouble }) => trouble[c]!.intermittent),
    })),
  };
  known.set(branches, made);
  return made;
}
