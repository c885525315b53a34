import {
  closeSync,
  linkSync,
  openSync,
  readFileSync,
  renameSync,
  rmSync,
  statSync,
  writeSync,
} from "node:fs";
import { hostname } from "node:os";
import { setTimeout as wait } from "node:timers/promises";
import { UnusableInput } from "./command.ts";

const patienceMilliseconds = 20_000;
const retryMilliseconds = 15;
/** A lock this old was left by a machine that lost power: no command here runs so long. */
const staleMilliseconds = 60_000;

/**
 * Runs `work` while no other run of this program does the same to `file`.
 *
 * The lock is a file beside it, made only if absent. One that a dead process left is taken over.
 */
export async function withLock<T>(file: string, work: () => T | Promise<T>): Promise<T> {
  const lock = `${file}.lock`;
  const mine = `${hostname()} ${process.pid}`;
  const until = performance.now() + patienceMilliseconds;
  while (!tryLock(lock, mine)) {
    takeStale(lock);
    if (performance.now() > until)
      throw new UnusableInput(
        `${file} is locked by another run; if none is running, delete ${lock}`,
      );
    await wait(retryMilliseconds);
  }
  try {
    return await work();
  } finally {
    rmSync(lock, { force: true });
  }
}

function tryLock(lock: string, mine: string): boolean {
  try {
    const handle = openSync(lock, "wx");
    writeSync(handle, mine);
    closeSync(handle);
    return true;
  } catch (error) {
    if (isCode(error, "EEXIST")) return false;
    throw new UnusableInput(`can't write beside ${lock.replace(/\.lock$/, "")}: ${reason(error)}`);
  }
}

/** Moves a dead run's lock out of the way; a live one that slipped in between is put back. */
function takeStale(lock: string): void {
  try {
    const owner = readFileSync(lock, "utf8");
    const age = Date.now() - statSync(lock).mtimeMs;
    if (age < staleMilliseconds && isAlive(owner)) return;
    const aside = `${lock}.${process.pid}`;
    renameSync(lock, aside);
    if (readFileSync(aside, "utf8") !== owner) linkSync(aside, lock);
    rmSync(aside, { force: true });
  } catch {
    // Its owner has just removed it, or somebody else has taken it: the next try will tell.
  }
}

/** An owner on another host, or one who has not yet written who he is, counts as alive. */
function isAlive(owner: string): boolean {
  const [host, pid] = owner.split(" ");
  if (host !== hostname() || pid === undefined) return true;
  try {
    process.kill(Number(pid), 0);
    return true;
  } catch (error) {
    return isCode(error, "EPERM");
  }
}

export const isCode = (error: unknown, code: string): boolean =>
  error instanceof Error && "code" in error && error.code === code;

export const reason = (error: unknown): string =>
  error instanceof Error ? error.message.replace(/^[A-Z]+: /, "").replace(/, \w+ '.*$/, "") : "";
