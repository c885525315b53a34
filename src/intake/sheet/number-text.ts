/** Thin, no-break and full-width characters become plain ones; blanks around and within go. */
const bare = (text: string): string =>
  text.slice(0, 60).normalize("NFKC").replaceAll("\u2212", "-").replaceAll(/\s/g, "");

/** A decimal number, comma or point; null where it is none (`0x14`, `1e3` and `1,200.5` are none). */
export function decimal(text: string): number | null {
  const match = /^[+-]?\d{1,9}(?:[.,]\d{1,9})?$/.exec(bare(text));
  return match === null ? null : Number(match[0].replace(",", "."));
}

/** A whole number from `least` to `most`, written in digits (`10` or `10.0`); null where it is none. */
export function wholeNumber(text: string, least: number, most: number): number | null {
  const match = /^(\d{1,9})(?:[.,]0{1,9})?$/.exec(bare(text));
  const value = match === null ? Number.NaN : Number(match[1]);
  return value >= least && value <= most ? value : null;
}
