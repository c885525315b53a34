/** A value as it was written down. */
export interface WrittenVolts {
  /** [V] */
  readonly volts: number;
  /** The finest step that the text was written with [V]: 4.90 gives 0.01. */
  readonly step: number;
}

/** A number, decimal point or comma, then an optional unit. Blanks may group thousands. */
const written =
  /^([+-]?)(\d{1,3}(?: \d{3})+|\d+)?(?:([.,])(\d*))?(?:e([+-]?\d{1,2}))? ?(mv|v|volts?|vdc|v dc)?$/i;

const plain = /^\d{1,4}\.\d{1,9}$/;

/**
 * Reads a number of volts as people and spreadsheets write it, null where it is not one.
 *
 * Understood: `4.91`, `4,91`, `4.91 V`, `4910 mV`, `4.91E+00`; thin, no-break and full-width
 * characters; a typographic minus. `4,910 mV` is not: it may be 4.91 V or 4.91 mV. `exponent` is
 * the power of ten of the column's own unit: -3 under a heading in millivolts.
 */
export function readVolts(text: string, exponent = 0): WrittenVolts | null {
  if (exponent === 0 && plain.test(text)) {
    return { volts: Number(text), step: stepOf(text.length - text.indexOf(".") - 1, 0) };
  }
  if (text.length > 40) return null;
  const match = written.exec(text.normalize("NFKC").replaceAll("\u2212", "-").trim());
  if (match === null) return null;
  const [, sign, whole = "", mark, decimals = "", tens = "0", unit = ""] = match;
  if (whole === "" && decimals === "") return null;
  const millivolts = unit === "" ? exponent === -3 : unit.toLowerCase() === "mv";
  const ambiguous = mark !== undefined && decimals.length === 3 && /^0*[1-9]\d?\d?$/.test(whole);
  if (millivolts && ambiguous) return null;
  const power = Number(tens) + (millivolts ? -3 : 0);
  // One conversion from decimal text, so that 4910 mV is the very number that 4.91 is.
  const value = Number(`${sign}${whole.replaceAll(" ", "")}.${decimals}e${power}`);
  return { volts: value === 0 ? 0 : value, step: stepOf(decimals.length, power) };
}

/** 1, 0.1, 0.01, …: read from text, as powers of 0.1 are not exactly these. */
const steps = Array.from({ length: 10 }, (_, decimals) => Number(`1e-${decimals}`));

/** One unit of the last decimal, times a power of ten [V]. */
const stepOf = (decimals: number, power: number): number =>
  steps[decimals - power] ?? Number(`1e${power - decimals}`);

/** What typists write for digits and the decimal point. */
const slips: readonly (readonly [RegExp, string])[] = [
  [/[oOQD]/g, "0"],
  [/[lI|!]/g, "1"],
  [/[sS]/g, "5"],
  [/[B]/g, "8"],
  [/[,;:·]/g, "."],
  [/[^\d.]/g, ""],
  [/\.(?=.*\.)/g, ""],
];

/** A value as it would be typed, at most nine significant digits. */
const typed = (volts: number): string => String(Number(volts.toPrecision(9)));

/**
 * The value that a person most likely meant by a text that is not a usable number, as text; null
 * where no small slip explains it. `most` is the largest plausible value [V].
 */
export function meantVolts(text: string, most: number): string | null {
  // Two values in one cell, or a word: nothing that a slip explains.
  if (text.length > 40 || (text.match(/\d[\dlIoO|!sSBQD.,;:·\s]*/g) ?? []).length !== 1)
    return null;
  const repaired = slips.reduce((so, [slip, digit]) => so.replaceAll(slip, digit), text);
  const mended = readVolts(repaired);
  if (mended === null) return null;
  // A lost decimal point: 491 for 4.91, 4910 for 4.91.
  for (const tens of [0, 1, 2, 3]) {
    const value = Number(`${mended.volts}e-${tens}`);
    if (value <= most && (tens === 0 || value >= most / 10)) return typed(value);
  }
  return null;
}

/** Decimals of a value that is shown in steps of `step`. */
export const decimalsOf = (step: number): number => Math.max(0, Math.round(-Math.log10(step)));
