/** What a caller of the library got wrong. */
export type MisuseCode =
  | "not-a-pool"
  | "not-a-walk"
  | "no-readings"
  | "mixed-walks"
  | "unknown-circuit"
  | "unknown-point"
  | "unknown-meter"
  | "volts-out-of-range";

/**
 * Code is wrong, not data: thrown at once, with a `code` for the program and a sentence that says what
 * was found and what to do. Data that is wrong comes back as values instead (`Result`, `Reject`).
 */
export class Misuse extends Error {
  override readonly name = "Misuse";
  readonly code: MisuseCode;

  constructor(code: MisuseCode, message: string) {
    super(message);
    this.code = code;
  }
}
