import type { Walk } from "./read-circuits.ts";

/** One explanation of all zeros: the rows at which a display was off, and its weight. */
export interface OffRows {
  readonly off: ReadonlySet<number>;
  readonly weight: number;
}

/** Area under the chance of still being on, from age 0 to `x`; off at an age uniform in [low, high]. */
const areaOn = (x: number, low: number, high: number): number => {
  if (x <= low) return Math.max(0, x);
  const y = Math.min(x, high) - low;
  return low + (high === low ? 0 : y - (y * y) / (2 * (high - low)));
};

/** Chance that a display is still on at this age. */
const stillOn = (age: number, low: number, high: number): number =>
  age < low ? 1 : age >= high ? 0 : (high - age) / (high - low);

/** Age of the display at place `ref` of the meter's rows [s], or null where nobody knows. */
const knownAge = (walk: Walk, rows: readonly number[], ref: number): number | null => {
  for (let i = ref; i >= 0; i--) {
    const row = walk.rows[rows[i]!]!;
    if (row.meter_on) {
      return (Date.parse(walk.rows[rows[ref]!]!.taken_at!) - Date.parse(row.taken_at!)) / 1000;
    }
    if (row.volts === 0) return null;
  }
  return null;
};

/** Chance that a display which is on goes off, and is written down so, at each of a meter's rows. */
const chances = (walk: Walk, rows: readonly number[], offAfter?: readonly [number, number]) => {
  const { blank, blank_written: written } = walk.model;
  const timed = walk.rows.every(({ taken_at }) => taken_at !== undefined);
  return rows.map((row, i) => {
    const reading = walk.rows[row]!;
    if (reading.meter_on) return 0;
    if (!timed || !offAfter) return blank;
    let ref = i - 1;
    while (ref >= 0 && walk.rows[rows[ref]!]!.volts === 0 && !walk.rows[rows[ref]!]!.meter_on)
      ref--;
    if (ref < 0) return blank;
    const since = (k: number) =>
      (Date.parse(walk.rows[rows[k]!]!.taken_at!) - Date.parse(walk.rows[rows[ref]!]!.taken_at!)) /
      1000;
    const [low, high] = offAfter;
    const age = knownAge(walk, rows, ref);
    if (age !== null && stillOn(age, low, high) > 0) {
      const before = stillOn(age + since(i - 1), low, high);
      const after = stillOn(age + since(i), low, high);
      return before === 0 ? written : (written * (before - after)) / before;
    }
    const left = areaOn(high, low, high) - areaOn(since(i - 1), low, high);
    const gone = areaOn(since(i), low, high) - areaOn(since(i - 1), low, high);
    return left <= 0 ? written : (written * gone) / left;
  });
};

/** Runs of consecutive zeros among a meter's rows, as [first, last] places. */
const runsOfZeros = (walk: Walk, rows: readonly number[]): [number, number][] => {
  const runs: [number, number][] = [];
  rows.forEach((row, i) => {
    if (walk.rows[row]!.volts !== 0) return;
    const last = runs.at(-1);
    if (last && last[1] === i - 1) last[1] = i;
    else runs.push([i, i]);
  });
  return runs;
};

/** All explanations of one run: nothing off, or one stretch of it. */
const explainRun = (
  walk: Walk,
  rows: readonly number[],
  chance: readonly number[],
  [first, last]: readonly [number, number],
): OffRows[] => {
  const stays = walk.model.blank_stays;
  const on = (from: number, to: number): number =>
    chance.slice(from, to + 1).reduce((product, b) => product * (1 - b), 1);
  const all: OffRows[] = [{ off: new Set(), weight: on(first, last) }];
  for (let i = first; i <= last; i++) {
    for (let j = i; j <= last; j++) {
      const stretch = rows.slice(i, j + 1);
      if (stretch.some((row) => walk.rows[row]!.meter_on)) continue;
      const after = j + 1 < rows.length ? 1 - stays : 1;
      const weight = on(first, i - 1) * chance[i]! * stays ** (j - i) * after * on(j + 2, last);
      all.push({ off: new Set(stretch), weight });
    }
  }
  return all.filter(({ weight }) => weight > 0);
};

/** Each zero by itself, as in the first model. */
const explainOne = (walk: Walk, row: number): OffRows[] => [
  { off: new Set(), weight: 1 - walk.model.blank },
  { off: new Set([row]), weight: walk.model.blank },
];

const both = (a: readonly OffRows[], b: readonly OffRows[]): OffRows[] =>
  a.flatMap((x) =>
    b.map((y) => ({ off: new Set([...x.off, ...y.off]), weight: x.weight * y.weight })),
  );

/** Every way in which displays may have been off, over all meters, each with its weight. */
export const displayExplanations = (walk: Walk): OffRows[] =>
  walk.facility.meters.reduce<OffRows[]>(
    (all, { name, off_after }) => {
      const rows = walk.order.filter((row) => walk.rows[row]!.meter === name);
      if (walk.plainModel) {
        return rows
          .filter((row) => walk.rows[row]!.volts === 0)
          .reduce((sum, row) => both(sum, explainOne(walk, row)), all);
      }
      const chance = chances(walk, rows, off_after);
      return runsOfZeros(walk, rows).reduce(
        (sum, run) => both(sum, explainRun(walk, rows, chance, run)),
        all,
      );
    },
    [{ off: new Set(), weight: 1 }],
  );
