import { circuitKey } from "../domain/place.ts";
import type { Reading } from "../domain/reading.ts";

/** What a row that strikes a reading out has as its state. */
export const STRUCK = "struck";

/**
 * The readings that were struck out. A ledger of readings is only ever added to: a reading that was
 * wrong stays as it was written, and a row with the state `struck` and the same id, place, time and
 * value takes it back, wherever either of them stands. What is struck stays struck: rows can come in any
 * order, from any number of devices, and any number of times.
 */
export class Strikes {
  readonly #named = new Set<string>();
  readonly #placed = new Map<string, "named" | "nameless">();

  get size(): number {
    return this.#named.size + this.#placed.size;
  }

  add(struck: Reading): void {
    if (struck.id !== null) this.#named.add(nameKey(struck));
    const key = placedKey(struck);
    const known = this.#placed.get(key);
    this.#placed.set(key, struck.id === null || known === "nameless" ? "nameless" : "named");
  }

  /** By id where both have one, else by place, time and value; without a time, by walk. */
  has(reading: Reading): boolean {
    if (this.size === 0) return false;
    if (reading.id !== null && this.#named.has(nameKey(reading))) return true;
    const placed = this.#placed.get(placedKey(reading));
    return placed === "nameless" || (placed === "named" && reading.id === null);
  }
}

/** A wide row names all of its readings at once. */
const nameKey = ({ id, point }: Reading): string => JSON.stringify([id, point]);

function placedKey(reading: Reading): string {
  const { point, volts, takenAt, walk } = reading;
  const seconds = takenAt?.seconds ?? null;
  return JSON.stringify([circuitKey(reading), point, volts, seconds ?? walk, seconds === null]);
}
