import { circuitCells } from "../../domain/place.ts";
import type { Pool } from "../../domain/pool.ts";
import { csvLine } from "../../intake/csv-cell.ts";
import { readingVolts } from "../../rooms/circuit-room.ts";
import { ohms, volts } from "../../rooms/domain-room.ts";

/** A wide sheet with a row for every circuit and nothing read yet. */
export function blankSheet(pool: Pool): string {
  const behind = ["taken_at", "by", "note"];
  const ends = pool.circuits.some(({ end }) => end !== null) ? ["end"] : [];
  const header = ["lane", "device", ...ends, ...pool.points, ...behind];
  const blanks = [...pool.points, ...behind].map(() => "");
  const rows = pool.circuits.map((circuit) => {
    const { lane, device, end } = circuitCells(circuit);
    return [lane, device, ...(ends.length > 0 ? [end] : []), ...blanks];
  });
  return [header, ...rows].map((row) => csvLine(row)).join("");
}

/** A meter that draws a few milliamperes, for an example where the pool's own load is not known [Ω]. */
const EXAMPLE_LOAD = 1000;
/** What the example's bad contact has, as a share of the meter's load: 4.46 V are left of 5 V. */
const BAD_SHARE = 0.12;
/** A sound contact of the example [Ω]. */
const SOUND_OHMS = 0.2;
/** What readings scatter by, in steps of the display, over and over: an example has no chance. */
const SCATTER = [0, 1, -1, 2, 0, -2, 1] as const;

/**
 * An invented walk of this pool, every point read: all is well but the last contact of the second
 * circuit (the first, where there is one only).
 */
export function sampleWalk(pool: Pool): string {
  const load = pool.meters[0]?.loadOhms ?? ohms(EXAMPLE_LOAD);
  const bad = Math.min(1, pool.circuits.length - 1);
  const rows: string[][] = [];
  for (const [index, circuit] of pool.circuits.entries()) {
    const { lane, device, end } = circuitCells(circuit);
    let series = 0;
    for (const [k, { point, wireOhms }] of circuit.path.entries()) {
      series += wireOhms + SOUND_OHMS;
      if (index === bad && k === circuit.path.length - 1) series += BAD_SHARE * load;
      const shown = readingVolts(volts(5), load, ohms(0), ohms(series));
      const scatter = SCATTER[rows.length % SCATTER.length]! / 100;
      rows.push(["example", lane, device, end, point, (shown + scatter).toFixed(2)]);
    }
  }
  const header = ["walk", "lane", "device", "end", "point", "volts"];
  return [header, ...rows].map((row) => csvLine(row)).join("");
}
