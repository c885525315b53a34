import { expect, test } from "vitest";
import { readPool } from "../../src/intake/pool/read-pool.ts";
import { readReadings } from "../../src/intake/read-readings.ts";
import { poolText } from "../../src/page/pool-text.ts";
import { nextAtOnce } from "../../src/page/proposals.ts";
import { diagnose, nextOf } from "../../src/rooms/diagnosis-room.ts";
import { badPlaces, shownAt } from "./faulty-pool.ts";

/**
 * A phone may be quick or slow: the place to read next is the advice's, or, where that is late, the one
 * that was shown at once. Neither may cost readings.
 */

const form = { name: "Kestrel Bay", lanes: "8", devices: "touchpad", meter: "deck", load: "1000" };
const text = poolText({ ...form, offFrom: "45", offTo: "60", limit: "4.8" });
const made = readPool(text, "pool.yaml");
if (!made.ok) throw new Error("the pool of this test is none");
const pool = made.value;

const readingsOf = (rows: readonly string[]) =>
  readReadings(`lane,device,point,volts,taken_at\n${rows.join("\n")}\n`, pool, "r.csv").readings;

/** What is known of these rows; walks of one length share their beginnings. */
const known = new Map<string, ReturnType<typeof advise>>();
function advise(rows: readonly string[]) {
  const readings = rows.length === 0 ? [] : readingsOf(rows);
  const walk = diagnose(pool, readings, false);
  return { readings, emf: walk.emf, advice: nextOf(pool, readings, walk) };
}
function told(rows: readonly string[]): ReturnType<typeof advise> {
  const key = rows.join(";");
  const before = known.get(key) ?? advise(rows);
  known.set(key, before);
  return before;
}

/** How many readings a walk takes where the advice on the k-th is late as `isLate` says. */
function readingsTaken(isLate: (k: number) => boolean): number {
  const rows: string[] = [];
  // The findings that a page has in hand when a reading is stored are those of the readings before it.
  let emf: ReturnType<typeof advise>["emf"] | undefined;
  for (;;) {
    const { readings, advice, ...now } = told(rows);
    const [best] = advice.readings;
    if (best === undefined) return rows.length;
    const atOnce = nextAtOnce(pool, readings, () => false, emf);
    const spot = isLate(rows.length) ? (atOnce ?? best) : best;
    const shown = shownAt(badPlaces, Number(spot.lane), spot.point);
    const minute = String(rows.length).padStart(2, "0");
    rows.push(`${spot.lane},${spot.device},${spot.point},${shown},2026-05-02T08:${minute}:00`);
    emf = now.emf;
    if (rows.length > 20) return rows.length;
  }
}

test("a walk takes the same readings on a quick phone, on a slow one, and on any between", () => {
  const some = (seed: number) => (k: number) => (seed >> (k % 16)) % 2 === 1;
  const phones = [() => false, () => true, ...[0x5a5a, 0x9e37].map(some)];
  expect(phones.map(readingsTaken)).toEqual(phones.map(() => 12));
}, 400_000);
