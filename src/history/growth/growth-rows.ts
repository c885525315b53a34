import { levels, NODES, nodeOf, ohmsAt } from "./level-grid.ts";

/**
 * The ways in which a contact may grow, as rows of a table: not at all, by a share of itself (linear
 * in ln ohms, Box-Cox 0) or by so many ohms (linear in ohms, Box-Cox 1), each at a rate from an even
 * grid of ln rates.
 */
export type GrowthKind = "flat" | "log" | "ohm";

/** Rates on an even grid of their logarithm. */
interface RateGrid {
  readonly lowest: number;
  readonly step: number;
  readonly count: number;
}

/** 1 to 80 % a week [ln ohm a week]. */
const LOG_RATES: RateGrid = { lowest: Math.log(0.01), step: 0.21, count: 22 };
/** 0.03 to some 14 ohms a week [ohm a week]. */
const OHM_RATES: RateGrid = { lowest: Math.log(0.03), step: 0.36, count: 18 };

/** One row. */
export interface GrowthRow {
  readonly kind: GrowthKind;
  /** Of the kind's own unit; 0 where flat. */
  readonly rate: number;
  readonly lnRate: number;
  /** Half the way to the next row's ln rate; 0 where flat. */
  readonly halfCell: number;
}

const rowsOf = (kind: GrowthKind, { lowest, step, count }: RateGrid): readonly GrowthRow[] =>
  Array.from({ length: count }, (_, i) => {
    const lnRate = lowest + i * step;
    return { kind, rate: Math.exp(lnRate), lnRate, halfCell: step / 2 };
  });

/** All rows: the flat one first. */
export const growthRows: readonly GrowthRow[] = [
  { kind: "flat", rate: 0, lnRate: Number.NEGATIVE_INFINITY, halfCell: 0 },
  ...rowsOf("log", LOG_RATES),
  ...rowsOf("ohm", OHM_RATES),
];

/** Rows of each kind: from, up to. */
export const rowRange: Readonly<Record<GrowthKind, readonly [number, number]>> = {
  flat: [0, 1],
  log: [1, 1 + LOG_RATES.count],
  ohm: [1 + LOG_RATES.count, 1 + LOG_RATES.count + OHM_RATES.count],
};

/**
 * Masses over the level at the end of `weeks` of growth, from masses over the level at their start;
 * adds `share` of them to `into` from `at` on.
 */
export function grow(
  row: GrowthRow,
  masses: Float64Array,
  from: number,
  weeks: number,
  share: number,
  into: Float64Array,
  at: number,
): void {
  for (let i = 0; i < NODES; i++) {
    const mass = share * masses[from + i]!;
    if (mass === 0) continue;
    const level =
      row.kind === "ohm" ? Math.log(ohmsAt[i]! + row.rate * weeks) : levels[i]! + row.rate * weeks;
    const node = nodeOf(level);
    const low = Math.floor(node);
    const above = node - low;
    into[at + low]! += (1 - above) * mass;
    into[at + low + 1]! += above * mass;
  }
}

/**
 * Masses over the level of a contact whose last cleaning lies an exponential time back, of mean
 * `weeks`, from the masses of what a cleaning leaves: the first walk of a history that nobody wrote.
 */
export function grownSinceUnknown(
  row: GrowthRow,
  floor: Float64Array,
  weeks: number,
  into: Float64Array,
  at: number,
): void {
  if (row.kind === "flat") {
    for (let i = 0; i < NODES; i++) into[at + i]! += floor[i]!;
    return;
  }
  // Quantiles of the exponential at the middles of twelve equal shares.
  for (let n = 0; n < SHARES; n++) {
    grow(row, floor, 0, -weeks * Math.log(1 - (n + 0.5) / SHARES), 1 / SHARES, into, at);
  }
}

const SHARES = 12;
