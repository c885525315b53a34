import { readdirSync } from "node:fs";
import { platform } from "node:os";
import { disk } from "./disk.ts";

/** Does some work with an open file and closes it, whatever happens; a new one gets this mode. */
export function withFile<T>(
  path: string,
  flags: string,
  work: (handle: number) => T,
  mode?: number,
): T {
  const handle = disk.open(path, flags, mode);
  let result: T;
  try {
    result = work(handle);
  } catch (error) {
    try {
      disk.close(handle);
    } catch {
      // The first error is the one to tell.
    }
    throw error;
  }
  disk.close(handle);
  return result;
}

/** Writes all bytes, at a place or at the file's end; a disk may take fewer at a time. */
export function writeAll(handle: number, bytes: Uint8Array, at: number | null): void {
  for (let done = 0; done < bytes.length; ) {
    const written = disk.write(handle, bytes.subarray(done), at === null ? null : at + done);
    if (written === 0) throw Object.assign(new Error("the disk took nothing"), { code: "ENOSPC" });
    done += written;
  }
}

const bytesOf = (content: string | Uint8Array): Uint8Array =>
  typeof content === "string" ? Buffer.from(content, "utf8") : content;

/** Writes a new file whole and has the disk hold it. */
export function writeNew(path: string, content: string | Uint8Array): void {
  withFile(path, "wx", (handle) => {
    writeAll(handle, bytesOf(content), null);
    disk.flush(handle);
  });
}

/** Adds to a file's end, not yet for good: `flushFile` comes when it is whole. */
export const addTo = (path: string, content: string | Uint8Array): void =>
  withFile(path, "a", (handle) => writeAll(handle, bytesOf(content), null));

/** Has the disk hold a file that was written before. */
export const flushFile = (path: string): void => withFile(path, "r+", disk.flush);

/** Has the disk hold a folder's names: without it a power cut may undo a rename. */
export function flushFolder(path: string): void {
  // Windows flushes names by itself and opens no folder.
  if (platform() === "win32") return;
  withFile(path, "r", disk.flush);
}

/** Removes a folder of files and folders, as far as it goes; what is not there is no fault. */
export function removeTree(path: string): void {
  for (const entry of readdirSync(path, { withFileTypes: true })) {
    const inside = `${path}/${entry.name}`;
    if (entry.isDirectory()) removeTree(inside);
    else disk.unlink(inside);
  }
  disk.removeFolder(path);
}

/** Does what may fail without harm: what is left over is swept by a later run. */
export function attempt(work: () => void): void {
  try {
    work();
  } catch {
    // Left for the next run.
  }
}
