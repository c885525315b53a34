/** What a league costs: measured figures, and what follows from them for a larger one. */
import { mean, quantile } from "simple-statistics";

/** Processor time of some answers [s]. */
export interface Spent {
  readonly folders: number;
  readonly mean: number;
  readonly median: number;
  readonly p95: number;
  readonly most: number;
}

export const spentOf = (seconds: readonly number[]): Spent => ({
  folders: seconds.length,
  mean: mean([...seconds]),
  median: quantile([...seconds], 0.5),
  p95: quantile([...seconds], 0.95),
  most: Math.max(...seconds),
});

/** As the command measured them; `figures.json` keeps one run of it. */
export interface LeagueFigures {
  /** What it was run on. */
  readonly machine: string;
  readonly pools: number;
  readonly circuits: number;
  readonly readings: number;
  /** A folder's latest walk by the first version's model, files read and the answer written. */
  readonly plain: Spent;
  /** A folder's latest walk by the whole model, from what the two walks before it left. */
  readonly whole: Spent;
  /** The same walks standing alone. */
  readonly alone: Spent;
  /** All lines; the same as Parquet [bytes]. */
  readonly lineBytes: number;
  readonly parquetBytes: number;
  /** DuckDB on one thread: all lines into tables; then the three questions [s]. */
  readonly loadSeconds: number;
  readonly askSeconds: number;
  /** What was asked, and the answers. */
  readonly answers: Readonly<Record<string, readonly Readonly<Record<string, unknown>>[]>>;
}

/** Weekly walks of ten years. */
const WEEKS = 522;

const short = (x: number): string => x.toPrecision(3).replace(/\.?0+$/, "");
const seconds = (spent: Spent): string =>
  `mean ${spent.mean.toFixed(2)} s, median ${spent.median.toFixed(2)} s, ` +
  `95 in 100 under ${spent.p95.toFixed(2)} s, at most ${spent.most.toFixed(2)} s`;

/** What was measured, a line a figure. */
export function measuredLines(of: LeagueFigures): readonly string[] {
  const { pools, plain, whole, alone } = of;
  const byte = (bytes: number): string => `${(bytes / pools / 1000).toFixed(1)} kB`;
  return [
    `${pools} folders, ${of.circuits} circuits, ${of.readings} readings; ${of.machine}`,
    `a folder, plain model, ${plain.folders}: ${seconds(plain)}`,
    `a folder, whole model, ${whole.folders}: ${seconds(whole)}`,
    `a walk alone, whole model, ${alone.folders}: ${seconds(alone)}`,
    `a line: ${byte(of.lineBytes)}; as Parquet ${byte(of.parquetBytes)}`,
    `DuckDB, one thread: ${of.loadSeconds.toFixed(2)} s to load all lines, ` +
      `${of.askSeconds.toFixed(2)} s for three questions`,
  ];
}

/** What a league of so many pools, walked weekly for ten years, would take by the same figures. */
export function reckonedLines(of: LeagueFigures, pools = 10_000): readonly string[] {
  const answers = pools * WEEKS;
  const share = answers / of.pools;
  const hours = (each: number): string => short((pools * each) / 3600);
  const cores = (each: number): string => ((pools * each) / (7 * 24 * 3600)).toFixed(3);
  return [
    `${pools} pools, ${WEEKS} weeks: ${(answers / 1e6).toFixed(2)} million answers`,
    `whole model: ${hours(of.whole.mean)} processor hours a week, ${cores(of.whole.mean)} of a core always busy`,
    `plain model: ${hours(of.plain.mean)} processor hours a week, ${cores(of.plain.mean)} of a core`,
    `all lines: ${((of.lineBytes * share) / 1e9).toFixed(0)} GB; as Parquet ${((of.parquetBytes * share) / 1e9).toFixed(0)} GB`,
    `all lines into tables, were it in proportion: ${((of.loadSeconds * share) / 3600).toFixed(1)} h on one thread; ` +
      `one week's: ${((of.loadSeconds * pools) / of.pools).toFixed(0)} s`,
  ];
}
