import { lstatSync, mkdtempSync } from "node:fs";
import { dirname, join } from "node:path";
import { disk } from "../store/disk.ts";
import { makeFolder } from "../store/make-folder.ts";
import { newOwner } from "../store/owner.ts";
import { attempt, removeTree, withFile, writeAll } from "../store/write-whole.ts";

/**
 * The command as one file carries its parts and lays them out once, in the user's own folder for what
 * can be had again; each later run finds them there.
 */
export interface Packed {
  /** Names version and contents: another build never meets this one's files. */
  readonly name: string;
  /** Path below the folder, with `/`, and bytes. */
  readonly sizes: Readonly<Record<string, number>>;
  readonly read: (path: string) => Uint8Array;
}

/** Nobody else may have put anything in it: what lies there is run. Windows keeps such folders itself. */
function isOurs(folder: string): boolean {
  const found = lstatSync(folder);
  const owner = process.getuid?.();
  return (
    found.isDirectory() && (owner === undefined || (found.uid === owner && !(found.mode & 0o22)))
  );
}

const exists = (path: string): boolean => lstatSync(path, { throwIfNoEntry: false }) !== undefined;

/** Every file is there, as long as it must be: whoever clears old files may have taken some. */
const isWhole = (folder: string, { sizes }: Packed): boolean =>
  Object.entries(sizes).every(
    ([path, size]) => lstatSync(join(folder, path), { throwIfNoEntry: false })?.size === size,
  );

function writeParts(folder: string, { sizes, read }: Packed): void {
  for (const path of Object.keys(sizes)) {
    const file = join(folder, path);
    makeFolder(dirname(file));
    withFile(file, "wx", (handle) => writeAll(handle, read(path), null), 0o600);
  }
}

/** Removes a folder of ours; what can't be removed stays: the next build uses another name. */
export const removeParts = (folder: string): void => attempt(() => removeTree(folder));

/** Laid out in a folder of its own and then named: two runs at once, or a killed one, leave no half. */
function layOut(parent: string, packed: Packed): string | null {
  const folder = join(parent, packed.name);
  if (exists(folder)) {
    if (!isOurs(folder)) return null;
    if (isWhole(folder, packed)) return folder;
    removeParts(folder);
  }
  makeFolder(parent);
  const own = `${folder}.${newOwner()}.tmp`;
  disk.makeFolder(own);
  try {
    disk.setMode(own, 0o700);
    writeParts(own, packed);
    disk.rename(own, folder);
  } catch (error) {
    removeParts(own);
    if (!exists(folder) || !isOurs(folder) || !isWhole(folder, packed)) throw error;
  }
  return folder;
}

/** A folder with the parts in it, and whether it is for this run alone and to be removed after it. */
export interface LaidOut {
  readonly folder: string;
  readonly isPassing: boolean;
}

/**
 * The parts in the user's own folder, else, where that can't be written or is not the user's alone, in a
 * new one among the system's temporary files. Throws where neither can be.
 */
export function unpack(packed: Packed, cache: string, temporary: string): LaidOut {
  try {
    const folder = layOut(cache, packed);
    if (folder !== null) return { folder, isPassing: false };
  } catch {
    // A home that can't be written, or no room: once more where there may be.
  }
  const folder = mkdtempSync(join(temporary, "dropwise-"));
  writeParts(folder, packed);
  return { folder, isPassing: true };
}
