import type { Lane } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import { didYouMean, nearest } from "./nearest.ts";
import { quoted } from "./quoted.ts";

/** A name as it was typed, to the pool's own; null where the pool has no such name. */
type Lookup<Name> = (typed: string) => Name | null;

/** What a pool has names for. */
export type NameKind = "lane" | "device" | "end" | "point" | "meter";

/** The names of one pool, as sheets may write them. */
export interface PoolNames {
  readonly lane: Lookup<Lane>;
  readonly device: Lookup<string>;
  readonly end: Lookup<string>;
  readonly point: Lookup<string>;
  readonly meter: Lookup<string>;
  /** Why a name was not found: what was found, what there is, what is nearest. */
  readonly unknown: (kind: NameKind, typed: string) => string;
}

/** Marks that say which way a line runs; names copied out of an answer may have one at their end. */
const DIRECTION_MARKS = /[\u061c\u200e\u200f]/g;

/** Case, blanks, hyphens, underscores and marks of direction don't tell one name from another. */
export const plainName = (text: string): string =>
  text
    .normalize("NFKC")
    .replaceAll(DIRECTION_MARKS, "")
    .trim()
    .toLowerCase()
    .replaceAll(/[\s_-]+/g, "-");

/** `Lane 03`, `L3`, `3.0` and `3` are one lane. */
const plainLane = (text: string): string =>
  plainName(text)
    .replace(/^(lane|l)-?(?=\d+(\.0*)?$)/, "")
    .replace(/^0+(?=\d)/, "")
    .replace(/^(\d+)\.0*$/, "$1");

/** Remembers what each spelling meant; a sheet repeats a few spellings thousands of times. */
function remembering<Name>(
  names: ReadonlyMap<string, Name>,
  plain: (text: string) => string,
): Lookup<Name> {
  const known = new Map<string, Name | null>();
  return (typed) => {
    const before = known.get(typed);
    if (before !== undefined) return before;
    const meant = names.get(plain(typed)) ?? null;
    if (known.size < 10_000 && typed.length < 100) known.set(typed, meant);
    return meant;
  };
}

/** `1 to 8` for a run of numbers, else the names; long lists are cut. */
function listed(names: readonly (string | number)[]): string {
  const isRun = names.length > 2 && names.every((x, i) => x === Number(names[0]) + i);
  if (isRun) return `${names[0]} to ${names.at(-1)}`;
  return names.length > 12 ? `${names.slice(0, 12).join(", ")}, …` : names.join(", ");
}

/** The names that a sheet for this pool may use. A point may be called by its connector's name. */
export function poolNames(pool: Pool): PoolNames {
  const known = namesOf.get(pool) ?? makeNames(pool);
  namesOf.set(pool, known);
  return known;
}

/** A pool's names are worked out once. */
const namesOf = new WeakMap<Pool, PoolNames>();

function makeNames(pool: Pool): PoolNames {
  const own = (names: readonly string[]) =>
    new Map(names.map((name) => [plainName(name), name] as const));
  const pointsOf = new Map<string, Set<string>>();
  for (const { name, point } of pool.connectors) {
    const own = pointsOf.get(plainName(name)) ?? new Set<string>();
    pointsOf.set(plainName(name), own.add(point));
  }
  const byConnector = [...pointsOf]
    .filter(([, points]) => points.size === 1)
    .map(([name, points]) => [name, [...points][0]!] as const);
  const all = {
    lane: pool.lanes,
    device: pool.devices,
    end: pool.ends,
    point: pool.points,
    meter: pool.meters.map((meter) => meter.name),
  };
  return {
    lane: remembering(
      new Map(pool.lanes.map((lane) => [plainLane(String(lane)), lane] as const)),
      plainLane,
    ),
    device: remembering(own(all.device), plainName),
    end: remembering(own(all.end), plainName),
    point: remembering(new Map([...byConnector, ...own(all.point)]), plainName),
    meter: remembering(own(all.meter), plainName),
    unknown: (kind, typed) => {
      if (typed === "") return `${kind} is blank`;
      const digits = typed.slice(0, 60).replaceAll(/[oO]/g, "0").replaceAll(/[lI|]/g, "1");
      const names = all[kind].map(String);
      const meant =
        kind === "lane" && names.includes(digits) && nearest(typed, names) === null
          ? `; did you mean '${digits}'?`
          : didYouMean(typed, names);
      return `${kind} is ${quoted(typed)}: the pool file has ${listed(all[kind])}${meant}`;
    },
  };
}
