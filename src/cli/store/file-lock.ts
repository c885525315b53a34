import { readdirSync } from "node:fs";
import { basename, dirname, join } from "node:path";
import { setTimeout as wait } from "node:timers/promises";
import { UnusableInput } from "../command.ts";
import { disk } from "./disk.ts";
import { isGone, newOwner, ownerPattern } from "./owner.ts";
import { patiently } from "./patience.ts";
import { isCode, reasonOf } from "./system-words.ts";
import { attempt } from "./write-whole.ts";

const patienceMilliseconds = 20_000;
const retryMilliseconds = 15;

/** One run's wish for the lock: its number is known once it has chosen. */
interface Wish {
  readonly owner: string;
  readonly number: number | null;
  readonly path: string;
}

const wishName = new RegExp(`^(choosing|(\\d{9}))-(${ownerPattern})$`);

/** Numbers compare as their texts do. */
const digits = (number: number): string => String(number).padStart(9, "0");

/**
 * Runs `work` while no other run of this program does the same to `file`.
 *
 * Lamport's bakery (1974) with files in a folder beside it: whoever comes says that he chooses, takes
 * a number above all that are there, and is served when no lower number waits and nobody chooses. A
 * wish carries its owner's name and nobody else has that name, so the only files a run removes are
 * its own and those of runs that are over; there is no moment in which a lock that is held can be
 * taken for a dead one's. Files are empty: a full disk leaves no half of one.
 */
export async function withLock<T>(file: string, work: () => T | Promise<T>): Promise<T> {
  const folder = join(dirname(file), `.${basename(file)}.lock`);
  const own = takeNumber(folder, file);
  try {
    const until = performance.now() + patienceMilliseconds;
    // A listing takes time, and a run may turn from choosing to a number behind its back: two
    // listings, one after the other, can't both miss it.
    const next = (): Wish | null => ahead(folder, own) ?? ahead(folder, own);
    for (let before = next(); before !== null; before = next()) {
      if (performance.now() > until) {
        const words = `is in use by another run; if none is running, delete ${before.path}`;
        throw new UnusableInput(`${file} ${words}`);
      }
      await wait(retryMilliseconds);
    }
    return await work();
  } finally {
    attempt(() => disk.unlink(own.path));
    attempt(() => disk.removeFolder(folder));
  }
}

function takeNumber(folder: string, file: string): Wish & { readonly number: number } {
  const owner = newOwner();
  const choosing = join(folder, `choosing-${owner}`);
  try {
    put(folder, choosing);
    const taken = wishes(folder).map(({ number }) => number ?? 0);
    const number = 1 + Math.max(0, ...taken);
    const path = join(folder, `${digits(number)}-${owner}`);
    touch(path);
    disk.unlink(choosing);
    return { owner, number, path };
  } catch (error) {
    attempt(() => disk.unlink(choosing));
    for (const wish of wishesOrNone(folder))
      if (wish.owner === owner) attempt(() => disk.unlink(wish.path));
    attempt(() => disk.removeFolder(folder));
    throw new UnusableInput(`can't write beside ${file}: ${reasonOf(error)}`);
  }
}

/** Makes a file in the folder, and the folder, which another run may just be taking away. */
function put(folder: string, path: string): void {
  for (let tries = 0; ; tries++) {
    try {
      patiently(() => disk.makeFolder(folder));
    } catch (error) {
      if (!isCode(error, "EEXIST")) throw error;
    }
    try {
      // Windows keeps a folder that was removed until nobody has it open, and lets nothing into it.
      patiently(() => touch(path));
      return;
    } catch (error) {
      if (!isCode(error, "ENOENT") || tries === 100) throw error;
    }
  }
}

const touch = (path: string): void => disk.close(disk.open(path, "wx"));

function wishes(folder: string): Wish[] {
  return readdirSync(folder).flatMap((name) => {
    const [, kind, number, owner] = wishName.exec(name) ?? [];
    if (kind === undefined || owner === undefined) return [];
    return [
      { owner, number: number === undefined ? null : Number(number), path: join(folder, name) },
    ];
  });
}

function wishesOrNone(folder: string): Wish[] {
  try {
    return wishes(folder);
  } catch {
    return [];
  }
}

/** A wish that is served before ours, null where none is. Those of dead runs are cleared away. */
function ahead(folder: string, own: Wish & { readonly number: number }): Wish | null {
  let first: Wish | null = null;
  for (const wish of wishes(folder)) {
    if (wish.owner === own.owner) continue;
    if (isGone(wish.owner)) {
      attempt(() => disk.unlink(wish.path));
      continue;
    }
    const { number } = wish;
    const lower =
      number === null || number < own.number || (number === own.number && wish.owner < own.owner);
    if (lower) first = wish;
  }
  return first;
}
