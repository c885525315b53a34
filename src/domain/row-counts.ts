/**
 * What became of a sheet's rows: `in = used + rejected + repeats`, whatever the bytes.
 *
 * A row is a line (or a quoted note's lines) with something in it below the header; of a wide sheet
 * of readings, each filled cell of a point.
 */
export interface RowCounts {
  readonly in: number;
  /** Understood and counted, a work log's rows that were taken back included. */
  readonly used: number;
  readonly rejected: number;
  /** The same as a row known before: counted once. */
  readonly repeats: number;
}

/** No rows at all. */
export const noRows: RowCounts = { in: 0, used: 0, rejected: 0, repeats: 0 };

/** Rows of several sheets together. */
export const addRows = (a: RowCounts, b: RowCounts): RowCounts => ({
  in: a.in + b.in,
  used: a.used + b.used,
  rejected: a.rejected + b.rejected,
  repeats: a.repeats + b.repeats,
});
