import { existsSync, readFileSync, realpathSync, statSync } from "node:fs";
import { dirname, join } from "node:path";
import { disk } from "./disk.ts";
import { leftoversIn, ownName, sweep } from "./leftovers.ts";
import { attempt, flushFolder, withFile, writeAll, writeNew } from "./write-whole.ts";

/**
 * A file of rows that only grows, such that a row is either whole or can be told from a whole one.
 *
 * The frame of a row: as many cells as there are headings, the last one in quotation marks if it says
 * anything, CR and LF behind it. Whatever a power cut leaves of a row has fewer cells, or a
 * quotation mark that does not close, and no line end; every reader of sheets sees that and uses
 * none of it (`sheet-reader.ts`, kind `torn`). Before the next row is added, the torn one is moved to
 * a file of its own, `FILE.torn`.
 */

/** A file that begins to exist with all that is in it, or not at all. */
export const beginFile = (path: string, content: string): void => putFile(path, content, null);

/** A file that has other content from one moment to the next, its rights and its place kept. */
export function exchangeFile(path: string, content: string): void {
  const place = realpathSync(path);
  putFile(place, content, statSync(place).mode & 0o777);
}

function putFile(path: string, content: string, mode: number | null): void {
  const folder = dirname(path);
  for (const { path: left, kind } of leftoversIn(folder)) if (kind === "draft") sweep(left);
  const draft = join(folder, ownName("draft"));
  try {
    writeNew(draft, content);
    if (mode !== null) disk.setMode(draft, mode);
    disk.rename(draft, path);
  } catch (error) {
    attempt(() => disk.unlink(draft));
    throw error;
  }
  flushFolder(folder);
}

/** Is there a file with something in it? A full disk may have left an empty one of that name. */
export const hasContent = (path: string): boolean => existsSync(path) && statSync(path).size > 0;

/** Where the bytes behind the last line end begin. */
export function endOfLines(bytes: Uint8Array): number {
  return 1 + Math.max(bytes.lastIndexOf(0x0a), bytes.lastIndexOf(0x0d));
}

/** Moves what stands behind the last line end to `FILE.torn`; gives it back as text. */
export function setTornAside(path: string): string {
  const bytes = readFileSync(path);
  const end = endOfLines(bytes);
  const torn = bytes.subarray(end);
  if (torn.length === 0) return "";
  withFile(`${path}.torn`, "a", (handle) => {
    writeAll(handle, Buffer.concat([torn, Buffer.from("\r\n")]), null);
    disk.flush(handle);
  });
  withFile(path, "r+", (handle) => {
    disk.truncate(handle, end);
    disk.flush(handle);
  });
  return Buffer.from(torn).toString("utf8");
}

/**
 * Adds rows to the file's end and has the disk hold them. Where that fails, the file is cut back to
 * what it was, as far as the disk lets.
 */
export function appendRows(path: string, rows: string): void {
  const size = statSync(path).size;
  const bytes = Buffer.from(rows, "utf8");
  withFile(path, "r+", (handle) => {
    try {
      writeAll(handle, bytes, size);
      disk.flush(handle);
    } catch (error) {
      attempt(() => {
        disk.truncate(handle, size);
        disk.flush(handle);
      });
      throw error;
    }
  });
}
