import { decodeText } from "../intake/decode-text.ts";
import type { LoggedWork } from "./add-work.ts";

/**
 * What the page keeps of one pool: the files themselves. What was imported stays as the bytes it
 * came in; what the page adds stands in a ledger of its own, row by row.
 */

/** A file of the pool: bytes as imported, then rows that the page added, each with its line end. */
export interface KeptFile {
  readonly name: string;
  readonly bytes: Uint8Array;
  readonly added: readonly string[];
}

/** One pool with everything that belongs to it. */
export interface PoolRecord {
  readonly id: string;
  /** The pool's name as its file says it, for the list of pools. */
  readonly name: string;
  readonly pool: KeptFile;
  /** Sheets of readings that were brought in. */
  readonly sheets: readonly KeptFile[];
  /** The readings that were entered here, and what was struck out; null before the first. */
  readonly ledger: KeptFile | null;
  readonly work: KeptFile | null;
  /** Presses, water and pads, parts: the sheets of the deck day. */
  readonly touches: KeptFile | null;
  readonly pads: KeptFile | null;
  readonly parts: KeptFile | null;
  /** The lines of the work log that this page wrote and that still count, oldest first. */
  readonly logged: readonly LoggedWork[];
}

/** A pool of which only its file is known. */
export const newRecord = (id: string, name: string, pool: KeptFile): PoolRecord => ({
  ...{ id, name, pool },
  ...{ sheets: [], ledger: null, work: null, logged: [] },
  ...{ touches: null, pads: null, parts: null },
});

/** A record as it was stored, whatever an earlier page left out. */
export const wholeRecord = (stored: PoolRecord): PoolRecord => ({
  ...newRecord(stored.id, stored.name, stored.pool),
  sheets: stored.sheets,
  ledger: stored.ledger ?? null,
  work: stored.work,
  touches: stored.touches ?? null,
  pads: stored.pads ?? null,
  parts: stored.parts ?? null,
  logged: stored.logged ?? [],
});

/** All sheets of readings, the page's own last. */
export const sheetsOf = ({ sheets, ledger }: PoolRecord): readonly KeptFile[] =>
  ledger === null ? sheets : [...sheets, ledger];

/** The logs beside the readings, those that are there. */
export const logsOf = ({ work, touches, pads, parts }: PoolRecord): readonly KeptFile[] =>
  [work, touches, pads, parts].filter((one) => one !== null);

const decoded = new WeakMap<Uint8Array, string>();

function bytesText(bytes: Uint8Array): string {
  const known = decoded.get(bytes);
  if (known !== undefined) return known;
  const text = decodeText(bytes);
  decoded.set(bytes, text);
  return text;
}

/** All text of a file. */
export const fileText = (file: KeptFile): string => bytesText(file.bytes) + file.added.join("");

/** All bytes of a file, as it is exported. Rows are only ever added to UTF-8 files. */
export function fileBytes(file: KeptFile): Uint8Array<ArrayBuffer> {
  const added = new TextEncoder().encode(file.added.join(""));
  const all = new Uint8Array(file.bytes.length + added.length);
  all.set(file.bytes, 0);
  all.set(added, file.bytes.length);
  return all;
}

const sameList = <T>(a: readonly T[], b: readonly T[], same: (a: T, b: T) => boolean): boolean =>
  a.length === b.length && a.every((one, index) => same(one, b[index] as T));

export const sameBytes = (a: Uint8Array, b: Uint8Array): boolean =>
  a.length === b.length && a.every((byte, index) => byte === b[index]);

const sameFile = (a: KeptFile, b: KeptFile): boolean =>
  a.name === b.name && sameBytes(a.bytes, b.bytes) && sameList(a.added, b.added, Object.is);

/** Do both say the same? A record read from the storage again is another object. */
export function sameRecord(a: PoolRecord, b: PoolRecord): boolean {
  const files = (one: PoolRecord): readonly KeptFile[] => [
    one.pool,
    ...sheetsOf(one),
    ...logsOf(one),
  ];
  return (
    a.id === b.id &&
    a.name === b.name &&
    (a.work === null) === (b.work === null) &&
    a.logged.length === b.logged.length &&
    sameList(files(a), files(b), sameFile)
  );
}

/** A file from text that the page wrote itself. */
export const newFile = (name: string, text: string): KeptFile => ({
  name,
  bytes: new TextEncoder().encode(text),
  added: [],
});

/** A name that no other file has yet. */
export function uniqueName(name: string, taken: readonly string[]): string {
  const [, stem = name, ending = ""] = /^(.*?)(\.[^.]*)?$/.exec(name) ?? [];
  for (let count = 1; ; count += 1) {
    const one = count === 1 ? name : `${stem}-${count}${ending}`;
    if (!taken.includes(one)) return one;
  }
}

/** The file with one more row, on a line of its own, with the file's own line ends. */
export function withRow(file: KeptFile, row: string): KeptFile {
  const text = fileText(file);
  const end = text.includes("\r\n") ? "\r\n" : "\n";
  const start = text === "" || text.endsWith("\n") ? "" : end;
  return { ...file, added: [...file.added, `${start}${row}${end}`] };
}
