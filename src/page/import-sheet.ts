import { type Contents, contentsOf } from "./contents.ts";
import {
  fileBytes,
  type KeptFile,
  type PoolRecord,
  sameBytes,
  sheetsOf,
  uniqueName,
} from "./record.ts";

/** What would become of a sheet of readings that comes in. */
export interface ImportedSheet {
  /** The pool's sheets with it; null where it says nothing new, or can't be read. */
  readonly kept: readonly KeptFile[] | null;
  /** The name that it has here. */
  readonly name: string;
  /** Readings that came, and those that it strikes out. */
  readonly fresh: number;
  readonly struck: number;
  readonly rejected: number;
  /** Rows of readings that were known already. */
  readonly known: number;
  readonly faults: Contents["faults"];
}

/** Does this file begin with all of that one, and hold more? */
const goesOnAfter = (one: Uint8Array, longer: Uint8Array): boolean =>
  longer.length > one.length && one.length > 0 && one.every((byte, at) => byte === longer[at]);

/**
 * Takes a sheet of readings in. One that says nothing new is not kept, and one that goes on where
 * another ended takes its place: two phones may hand each other the same files again and again.
 */
export function importedSheet(record: PoolRecord, before: Contents, file: KeptFile): ImportedSheet {
  const { sheets } = record;
  const nothing = { kept: null, name: file.name, fresh: 0, struck: 0, rejected: 0, faults: [] };
  if (sheetsOf(record).some((one) => sameBytes(fileBytes(one), file.bytes)))
    return { ...nothing, known: Number.POSITIVE_INFINITY };
  const shorter = sheets.find((one) => goesOnAfter(fileBytes(one), file.bytes));
  const taken = sheetsOf(record).map((one) => one.name);
  const name = shorter?.name ?? uniqueName(file.name, taken);
  const kept = [...sheets.filter((one) => one !== shorter), { ...file, name }];
  const after = contentsOf({ ...record, sheets: kept });
  const own = after.sheets.find((one) => one.name === name);
  if (own === undefined || own.faults.length > 0)
    return { ...nothing, name, known: 0, faults: own?.faults ?? after.faults };
  const struck = gone(before, after);
  const fresh = after.readings.length - before.readings.length + struck;
  const rejected = Math.max(0, after.rejected.length - before.rejected.length);
  const isNew = fresh > 0 || struck > 0 || rejected > 0 || after.struck > before.struck;
  const known = Math.max(0, own.rows.in - own.rows.rejected - fresh - struck);
  return { kept: isNew ? kept : null, name, fresh, struck, rejected, known, faults: [] };
}

/** How many readings that stood before are struck out by what came. */
function gone(before: Contents, after: Contents): number {
  const key = (one: Contents["readings"][number]): string =>
    JSON.stringify([
      one.lane,
      one.device,
      one.end,
      one.point,
      one.volts,
      one.takenAt?.seconds ?? one.walk,
    ]);
  const stands = new Map<string, number>();
  for (const one of after.readings) stands.set(key(one), (stands.get(key(one)) ?? 0) + 1);
  return before.readings.filter((one) => {
    const left = stands.get(key(one)) ?? 0;
    stands.set(key(one), left - 1);
    return left <= 0;
  }).length;
}
