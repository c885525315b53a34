import type { Reading } from "../../src/domain/reading.ts";
import { ohms, volts } from "../../src/domain/units.ts";
import { type TestPool as Pool, poolFrom } from "../plain-pool.ts";
import { link, meter, type Shown, sheet, smallPool } from "./builders.ts";

/** One walk to be answered exactly. Small on purpose: brute force pays for every contact. */
export interface ReferenceWalk {
  readonly name: string;
  readonly pool: Pool;
  readonly readings: readonly Reading[];
}

/** One circuit's readings, in the order of `points`. */
const along = (
  lane: number | string,
  device: string,
  points: readonly string[],
  shown: readonly number[],
  meterName = "deck",
): Shown[] => points.map((point, i) => [lane, device, point, shown[i]!, meterName] as const);

const four = ["timer", "harness", "plate", "pod"];
const pad = smallPool([1], ["pad"]);
const supply = (emf: number, emfSd: number, sourceOhms: number): Pool["supply"] => ({
  emf: volts(emf),
  emfSd: volts(emfSd),
  sourceOhms: ohms(sourceOhms),
});

const plain: readonly ReferenceWalk[] = [
  {
    name: "all sound, two devices",
    pool: smallPool([1], ["pad", "button"]),
    readings: sheet([
      ...along(1, "pad", four, [5.01, 4.99, 4.98, 5.0]),
      ...along(1, "button", four, [4.99, 5.0, 4.96, 4.98]),
    ]),
  },
  {
    name: "one fouled plate contact",
    pool: pad,
    readings: sheet(along(1, "pad", four, [5.0, 4.98, 4.62, 4.63])),
  },
  {
    name: "contaminated harness connector, three devices",
    pool: smallPool([1], ["pad", "button-1", "button-2"]),
    readings: sheet([
      ...along(1, "pad", ["harness", "plate"], [4.71, 4.69]),
      ...along(1, "button-1", ["harness", "plate"], [4.44, 4.46]),
      ...along(1, "button-2", ["harness", "plate"], [4.97, 4.96]),
    ]),
  },
  {
    name: "open plate contact, sound neighbour",
    pool: smallPool([1], ["pad", "button"]),
    readings: sheet([
      ...along(1, "pad", four, [5.0, 4.99, 0, 0]),
      ...along(1, "button", ["plate", "pod"], [4.98, 4.97]),
    ]),
  },
  {
    name: "one zero before a good reading: the meter was off",
    pool: pad,
    readings: sheet(along(1, "pad", four, [4.99, 4.98, 0, 4.96])),
  },
  {
    name: "a single zero at the last point",
    pool: pad,
    readings: sheet(along(1, "pad", four, [5.0, 4.98, 4.97, 0])),
  },
  {
    name: "a mistyped value: 4.49 for 4.94",
    pool: pad,
    readings: sheet(along(1, "pad", four, [4.97, 4.95, 4.49, 4.94])),
  },
  {
    name: "nobody read the plate: two neighbours cannot be told apart",
    pool: pad,
    readings: sheet(along(1, "pad", ["timer", "harness", "pod"], [4.99, 4.99, 4.55])),
  },
  {
    name: "repeated readings that disagree",
    pool: pad,
    readings: sheet([
      ...along(1, "pad", ["timer", "harness"], [4.98, 4.98]),
      ...along(1, "pad", ["plate", "plate", "plate"], [4.9, 4.85, 4.86]),
    ]),
  },
  {
    name: "two mild drops in one path",
    pool: pad,
    readings: sheet(along(1, "pad", four, [5.02, 4.95, 4.94, 4.87])),
  },
];

const unusual: readonly ReferenceWalk[] = [
  {
    name: "two meters with different loads",
    pool: { ...pad, meters: [meter("deck", 1000, 0.01), meter("spare", 220, 0.01, 0.03)] },
    readings: sheet([
      ...along(1, "pad", four, [4.97, 4.98, 4.74, 4.72]),
      ...along(1, "pad", ["timer", "pod"], [4.96, 3.96], "spare"),
    ]),
  },
  {
    name: "coarse display of a tenth of a volt, two lanes",
    pool: { ...smallPool([1, 2], ["pad"]), meters: [meter("deck", 1000, 0.1)] },
    readings: sheet(
      [
        ...along(1, "pad", ["timer", "plate", "pod"], [5.0, 4.9, 4.8]),
        ...along(2, "pad", ["timer", "plate", "pod"], [5.0, 5.0, 5.0]),
      ],
      0.1,
    ),
  },
  {
    name: "low supply, two lanes",
    pool: smallPool([1, 2], ["pad"]),
    readings: sheet([
      ...along(1, "pad", ["timer", "harness", "plate"], [4.84, 4.83, 4.82]),
      ...along(2, "pad", ["timer", "harness", "plate"], [4.85, 4.82, 4.6]),
    ]),
  },
  {
    name: "source resistance and a small load",
    pool: poolFrom({
      ...pad,
      supply: supply(5, 0.05, 12),
      meters: [meter("deck", 220, 0.01)],
    }),
    readings: sheet(along(1, "pad", four, [4.73, 4.7, 4.21, 4.19])),
  },
  {
    name: "five links, two shared by the pool, a device's own before the lane's",
    pool: poolFrom({
      ...smallPool([1, 2], ["pad"]),
      chain: [
        link("timer", "pool", 0.1, 0.02, 0.01),
        link("panel", "pool", 0.4, 0.05, 0.02),
        link("tail", "device", 0.5, 0, 0.08),
        link("plate", "lane", 2, 0.08, 0.02),
        link("pod", "device", 0.3, 0, 0.12),
      ],
    }),
    readings: sheet([
      ...along(1, "pad", ["panel", "tail", "pod"], [4.81, 4.8, 4.55]),
      ...along(2, "pad", ["panel", "plate"], [4.69, 4.67]),
    ]),
  },
  {
    name: "a meter of ten megohms sees nothing",
    pool: { ...pad, meters: [meter("deck", 10e6, 0.01)] },
    readings: sheet(along(1, "pad", four, [5.0, 4.99, 4.98, 4.99])),
  },
  {
    name: "display step from the sheet, lanes by name, one pressed reading left aside",
    pool: { ...smallPool(["north", "south"], ["pad"]), meters: [meter("deck", 1000, null)] },
    readings: [
      ...sheet([
        ...along("north", "pad", ["timer", "harness"], [4.99, 4.93]),
        ...along("south", "pad", ["timer", "harness"], [5.0, 5.0]),
      ]),
      ...sheet([["south", "pad", "harness", 0.12]]).map(
        (reading): Reading => ({ ...reading, state: "pressed", line: 6 }),
      ),
    ],
  },
];

export const referenceWalks: readonly ReferenceWalk[] = [...plain, ...unusual];
