/**
 * How long the search for the next reading takes: all 96 possible readings of eight lanes, three
 * devices and four points, one thread, warm. Prints; a benchmark passes no judgement.
 *
 *   npm run bench:next
 */
import { quantile } from "simple-statistics";
import { nextReadings } from "../../src/diagnosis/next-reading.ts";
import type { Reading } from "../../src/domain/reading.ts";
import { smallPool } from "../reference/builders.ts";
import { seededRandom } from "../study/random.ts";
import { drawPool, takeReading } from "../study/simulate.ts";

const pool = smallPool([1, 2, 3, 4, 5, 6, 7, 8], ["touchpad", "button-1", "button-2"]);
const runs = 15;
const walks = 5;

/** Readings of a guided walk, as far as it goes. */
function guidedWalk(seed: number, most: number): readonly Reading[] {
  const random = seededRandom(seed);
  const drawn = drawPool(pool, random);
  const readings: Reading[] = [];
  while (readings.length < most) {
    const best = nextReadings(pool, readings, 1).readings[0];
    if (best === undefined) break;
    readings.push(takeReading(pool, random, drawn, best, readings.length));
  }
  return readings;
}

/** Every point of every circuit, in the plain order. */
function fullWalk(seed: number): readonly Reading[] {
  const random = seededRandom(seed);
  const drawn = drawPool(pool, random);
  return drawn.contacts.map(({ lane, device, link }, i) =>
    takeReading(pool, random, drawn, { lane, device, point: link.point }, i),
  );
}

function time(name: string, of: readonly (readonly Reading[])[]): void {
  const times = of.flatMap((readings) => {
    for (let i = 0; i < 3; i++) nextReadings(pool, readings);
    return Array.from({ length: runs }, () => {
      const began = performance.now();
      nextReadings(pool, readings);
      return performance.now() - began;
    });
  });
  const [median, p90] = [quantile(times, 0.5), quantile(times, 0.9)];
  console.log(`${name.padEnd(40)} median ${median.toFixed(1)} ms   p90 ${p90.toFixed(1)} ms`);
}

const seeds = Array.from({ length: walks }, (_, i) => 31 + i);
time("from nothing", [[]]);
for (const most of [6, 12, 18, 24]) {
  time(
    `after ${most} readings of a guided walk`,
    seeds.map((seed) => guidedWalk(seed, most)),
  );
}
const guided = seeds.map((seed) => guidedWalk(seed, 96));
time(`at the end of a guided walk (${guided.map((one) => one.length).join(", ")})`, guided);
time("after a full walk of 96", seeds.map(fullWalk));
