import { lstatSync, mkdtempSync, readdirSync } from "node:fs";
import { dirname, isAbsolute, join, posix, win32 } from "node:path";
import { disk } from "../store/disk.ts";
import { newOwner } from "../store/owner.ts";

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

type Environment = Readonly<Record<string, string | undefined>>;

/**
 * Where a user's programs keep what can be had again: `XDG_CACHE_HOME` (XDG Base Directory
 * Specification 0.8: an absolute path, else as if unset), `~/Library/Caches`, `LOCALAPPDATA`.
 */
export function cacheFolder(platform: string, env: Environment, home: string): string {
  if (platform === "win32")
    return env["LOCALAPPDATA"] || win32.join(home, "AppData", "Local", "Temp");
  if (platform === "darwin") return posix.join(home, "Library", "Caches");
  const named = env["XDG_CACHE_HOME"];
  return named && isAbsolute(named) ? named : posix.join(home, ".cache");
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

function makeFolders(path: string): void {
  if (exists(path)) return;
  makeFolders(dirname(path));
  try {
    disk.makeFolder(path);
  } catch (error) {
    // Another run was first.
    if ((error as { code?: string }).code !== "EEXIST") throw error;
  }
}

function writeAll(folder: string, { sizes, read }: Packed): void {
  for (const path of Object.keys(sizes)) {
    const file = join(folder, path);
    makeFolders(dirname(file));
    const handle = disk.open(file, "wx", 0o600);
    try {
      const bytes = read(path);
      for (let at = 0; at < bytes.length; ) at += disk.write(handle, bytes.subarray(at), null);
    } finally {
      disk.close(handle);
    }
  }
}

/** Removes a folder of ours with all that is in it; what can't be removed stays. */
export function removeAll(folder: string): void {
  try {
    for (const entry of readdirSync(folder, { withFileTypes: true })) {
      const path = join(folder, entry.name);
      if (entry.isDirectory()) removeAll(path);
      else disk.unlink(path);
    }
    disk.removeFolder(folder);
  } catch {
    // The next build of this program uses another name.
  }
}

/** Laid out in a folder of its own and then named: two runs at once, or a killed one, leave no half. */
function layOut(parent: string, packed: Packed): string | null {
  const folder = join(parent, packed.name);
  if (exists(folder)) {
    if (!isOurs(folder)) return null;
    if (isWhole(folder, packed)) return folder;
    removeAll(folder);
  }
  makeFolders(parent);
  const own = `${folder}.${newOwner()}.tmp`;
  disk.makeFolder(own);
  try {
    disk.setMode(own, 0o700);
    writeAll(own, packed);
    disk.rename(own, folder);
  } catch (error) {
    removeAll(own);
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
  writeAll(folder, packed);
  return { folder, isPassing: true };
}
