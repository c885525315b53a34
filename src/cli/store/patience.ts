import { platform } from "node:os";
import { isCode } from "./system-words.ts";

/**
 * Windows refuses to rename or remove a file for as long as any program has it open, and what looks
 * through new files (virus scanners, indexers) has each open for some milliseconds. So there such a
 * refusal is waited out; one that stays is what the system says.
 */

/** What Windows says of a file that is open elsewhere, or on its way out. */
const passing = ["EPERM", "EACCES", "EBUSY"];

/** Waits between tries, each twice the one before [ms]: about a second together. */
const waits = [4, 8, 16, 32, 64, 128, 256, 512];

/** May this pass by itself, on this system? */
export const mayPass = (error: unknown, system: string = platform()): boolean =>
  system === "win32" && passing.some((code) => isCode(error, code));

/** Nothing else of the process runs meanwhile, as with the calls themselves. */
const pause = (milliseconds: number): void =>
  void Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, milliseconds);

/** Does what may be refused for a moment, again and again for a second; elsewhere once. */
export function patiently<T>(
  work: () => T,
  system: string = platform(),
  wait: (milliseconds: number) => void = pause,
): T {
  for (const milliseconds of waits) {
    try {
      return work();
    } catch (error) {
      if (!mayPass(error, system)) throw error;
      wait(milliseconds);
    }
  }
  return work();
}
