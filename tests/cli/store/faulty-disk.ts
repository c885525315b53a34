import { readdirSync, renameSync } from "node:fs";
import { join } from "node:path";
import { disk } from "../../../src/cli/store/disk.ts";

/** What happens at one call to the disk. */
export type Fault =
  /** That call alone fails, as a full disk or a faulty one lets it. */
  | "fails"
  /** The power goes: half of a write is there, and nothing that comes later. */
  | "kill";

/** The power is gone: no later call reaches the disk. */
export class Killed extends Error {}

type Call = (...args: never[]) => unknown;
const real = { ...disk };

/**
 * Does some work with a disk on which call number `at` goes wrong; counts the calls. Replaces the
 * calls of `disk.ts`, through which alone the program changes a disk.
 */
export async function onFaultyDisk<T>(
  at: number,
  fault: Fault,
  work: () => Promise<T>,
): Promise<{
  readonly calls: readonly string[];
  readonly result: T | null;
  readonly error: unknown;
}> {
  const calls: string[] = [];
  let dead = false;
  for (const name of Object.keys(real) as (keyof typeof disk)[]) {
    const call = real[name] as Call;
    const wrapped = (...args: never[]): unknown => {
      if (dead) throw new Killed();
      calls.push(name);
      if (calls.length !== at) return call(...args);
      if (name === "write") {
        const [handle, bytes, place] = args as unknown as [number, Uint8Array, number | null];
        const half = bytes.subarray(0, bytes.length >> 1);
        if (half.length > 0) real.write(handle, half, place);
      }
      if (fault === "kill") {
        dead = true;
        throw new Killed();
      }
      const code = name === "write" ? "ENOSPC" : "EIO";
      throw Object.assign(new Error(`${code}: injected at ${name}`), { code });
    };
    Object.assign(disk, { [name]: wrapped });
  }
  try {
    return { calls, result: await work(), error: null };
  } catch (error) {
    return { calls, result: null, error };
  } finally {
    Object.assign(disk, real);
  }
}

/** Gives what this process left behind to a process that is over, as a kill would. */
export function disown(folder: string): void {
  for (const entry of readdirSync(folder, { withFileTypes: true })) {
    const path = join(folder, entry.name);
    if (entry.isDirectory()) disown(path);
    const dead = entry.name.replace(`-${process.pid}-`, "-999999999-");
    if (dead !== entry.name) renameSync(path, join(folder, dead));
  }
}
