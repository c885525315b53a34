/** A value, or what kept us from it. Data can be wrong: it never throws. */
export type Result<T, E> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly error: E };

/** An input file that could not be used, in the words that the user reads. */
export interface InputFault {
  /** File as the user named it. */
  readonly file: string;
  /** Where in the file: a key's path (`chain[2].fouled`) or `line 14`; empty for the whole file. */
  readonly place: string;
  /** One clear sentence: what was found and what is allowed. */
  readonly message: string;
}

export const ok = <T>(value: T): { readonly ok: true; readonly value: T } => ({ ok: true, value });
export const fault = <E>(error: E): { readonly ok: false; readonly error: E } => ({
  ok: false,
  error,
});
