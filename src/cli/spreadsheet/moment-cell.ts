/** What a spreadsheet's cell may hold. */
export type Cell = string | number | boolean | Date | null;

const two = (number: number): string => String(number).padStart(2, "0");

/** A date cell, which knows no time zone, as ISO 8601; without a time where it is midnight. */
export function momentCell(date: Date): string {
  // Times are fractions of a day in binary: half a second of rounding is theirs.
  const rounded = new Date(Math.round(date.getTime() / 1000) * 1000);
  const [year, month, day] = [
    rounded.getUTCFullYear(),
    rounded.getUTCMonth() + 1,
    rounded.getUTCDate(),
  ];
  const written = `${String(year).padStart(4, "0")}-${two(month)}-${two(day)}`;
  const time = [rounded.getUTCHours(), rounded.getUTCMinutes(), rounded.getUTCSeconds()];
  return time.every((part) => part === 0) ? written : `${written}T${time.map(two).join(":")}`;
}
