import { decodeText } from "../intake/decode-text.ts";
import type { LoggedWork } from "./add-work.ts";

/**
 * What the page keeps of one pool: the files themselves. What was imported stays as the bytes it
 * came in, and what the page adds stands behind them, row by row; so a file to which nothing was
 * added leaves as it came, byte for byte.
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
  readonly sheets: readonly KeptFile[];
  readonly work: KeptFile | null;
  /** Index of the sheet that each of the page's own readings went to, oldest first: for undo. */
  readonly undo: readonly number[];
  /** The lines of the work log that this page wrote and that still count, oldest first: for undo. */
  readonly workUndo: readonly LoggedWork[];
  /** Id of the walk that new readings belong to; null: the calendar day. */
  readonly walk: string | null;
}

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
  const files = ({ pool, sheets, work }: PoolRecord): readonly KeptFile[] =>
    work === null ? [pool, ...sheets] : [pool, ...sheets, work];
  return (
    [a.id, a.name, a.walk].every((one, index) => one === [b.id, b.name, b.walk][index]) &&
    (a.work === null) === (b.work === null) &&
    sameList(a.undo, b.undo, Object.is) &&
    a.workUndo.length === b.workUndo.length &&
    sameList(files(a), files(b), sameFile)
  );
}

/** A file from text that the page wrote itself. */
export const newFile = (name: string, text: string): KeptFile => ({
  name,
  bytes: new TextEncoder().encode(text),
  added: [],
});

/** The file with one more row, on a line of its own, with the file's own line ends. */
export function withRow(file: KeptFile, row: string): KeptFile {
  const text = fileText(file);
  const end = text.includes("\r\n") ? "\r\n" : "\n";
  const start = text === "" || text.endsWith("\n") ? "" : end;
  return { ...file, added: [...file.added, `${start}${row}${end}`] };
}
