import { mean, median } from "simple-statistics";
import { diagnose } from "../../src/diagnosis/diagnose.ts";
import { nextReadings } from "../../src/diagnosis/next-reading.ts";
import type { Reading } from "../../src/domain/reading.ts";
import type { TestPool as Pool } from "../plain-pool.ts";
import { connectorName, ownerName } from "./connector.ts";
import { seededRandom } from "./random.ts";
import { type DrawnPool, drawPool, takeReading } from "./simulate.ts";

const seed = 20_260_613;

/** What one way of reading came to, pool by pool. */
interface Result {
  readonly readings: readonly number[];
  readonly right: readonly boolean[];
}

/** Connectors with a faulty contact anywhere in the pool. */
const faulty = ({ contacts }: DrawnPool): ReadonlySet<string> =>
  new Set(
    contacts
      .filter(({ state }) => state !== "sound")
      .map((contact) => connectorName(contact.link, contact)),
  );

/** The connector that the diagnosis of these readings would have opened first. */
const openedFirst = (pool: Pool, readings: readonly Reading[]): string | undefined => {
  const first = diagnose(pool, readings).connectors[0];
  return first && ownerName(first.point, first.lane, first.device);
};

/** Takes the reading that is proposed, from nothing until there is none. */
const guidedWalk = (pool: Pool, drawn: DrawnPool, pick: number): Reading[] => {
  const random = seededRandom(pick);
  const readings: Reading[] = [];
  for (;;) {
    const [best] = nextReadings(pool, readings, 1).readings;
    if (best === undefined) return readings;
    readings.push(takeReading(pool, random, drawn, best, readings.length));
  }
};

/** Reads every point of every circuit once. */
const fullWalk = (pool: Pool, drawn: DrawnPool, pick: number): Reading[] => {
  const random = seededRandom(pick);
  return drawn.contacts.map(({ lane, device, link: { point } }, i) =>
    takeReading(pool, random, drawn, { lane, device, point }, i),
  );
};

const row = (cells: readonly string[]): string =>
  cells.map((cell, i) => (i === 0 ? cell.padEnd(28) : cell.padStart(14))).join("");

const printRow = (name: string, { readings, right }: Result, points: number): void => {
  const judged = right.length;
  const share = right.filter(Boolean).length / judged;
  const error = Math.sqrt((share * (1 - share)) / judged);
  console.log(
    row([
      name,
      mean([...readings]).toFixed(1),
      median([...readings]).toFixed(0),
      `${((100 * mean([...readings])) / points).toFixed(1)} %`,
      `${(100 * share).toFixed(1)} %`,
      `${(100 * error).toFixed(1)} %`,
    ]),
  );
};

/**
 * How many readings a guided walk needs, and how often it opens the right connector first, beside
 * reading every point of the same pools. Each pool is drawn from the model; a reading that is asked
 * for twice has its noise drawn anew. Accuracy is over the pools with a fault.
 */
export const nextStudy = (pool: Pool, pools: number): void => {
  const random = seededRandom(seed);
  const results = ["guided", "every point read"].map((name) => ({
    name,
    readings: [] as number[],
    right: [] as boolean[],
  }));
  for (let i = 0; i < pools; i++) {
    const drawn = drawPool(pool, random);
    const truth = faulty(drawn);
    const pick = seed + 1 + i;
    const walks = [guidedWalk(pool, drawn, pick), fullWalk(pool, drawn, pick)];
    for (const [w, walk] of walks.entries()) {
      results[w]!.readings.push(walk.length);
      if (truth.size === 0) continue;
      results[w]!.right.push(truth.has(openedFirst(pool, walk) ?? ""));
    }
  }
  const points = pool.lanes.length * pool.devices.length * pool.chain.length;
  const withFault = results[0]!.right.length;
  console.log(`${pools} pools of ${points} points, ${withFault} with a fault; seed ${seed}\n`);
  console.log(row(["", "readings", "readings", "of all", "opened first", "standard"]));
  console.log(row(["", "mean", "median", "points", "is at fault", "error"]));
  for (const result of results) printRow(result.name, result, points);
};
