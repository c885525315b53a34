/** One thing wrong with a row. */
export interface RowFault {
  /** What is wrong, for the program: rows of one kind are told of in one sentence. */
  readonly kind: string;
  /** The same for a person. */
  readonly words: string;
}
