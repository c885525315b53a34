/** What the command line says around an answer. */
export interface CommandWords {
  /** That a command has no other language than English yet. */
  readonly onlyEnglish: (command: string) => string;
  /** Which files of the pool's folder were used without being named; null for this folder. */
  readonly from: (folder: string | null, used: readonly string[]) => string;
  /** What stands before remarks about files, which have English words alone; null: nothing. */
  readonly remarks: string | null;
  /** Rows of a file that could not be used; their reasons have English words alone. */
  readonly notUsed: (file: string, count: number) => string;
  /** `line 3`, `lines 3 to 9`, `lines 3, 7, 12 and 4 more`. */
  readonly lines: {
    readonly one: (line: number) => string;
    readonly run: (first: number, last: number) => string;
    readonly some: (lines: readonly number[]) => string;
    readonly more: (lines: readonly number[], more: number) => string;
  };
  /** Between the lines and one of several reasons. */
  readonly suchAs: string;
  /** Progress: how much of the sheets has been read, and how many rows. */
  readonly reading: (percent: number, rows: number) => string;
  readonly diagnosing: (walk: number, of: number) => string;
}
