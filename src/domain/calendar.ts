/**
 * Calendar days as whole numbers, so that time can be subtracted without a clock or a time zone.
 *
 * A day number counts days from 1970-01-01 (day 0) in the proleptic Gregorian calendar; the Julian
 * day that begins at noon of the same date is `dayNumber + 2440588`. Good for years 0 to 9999.
 *
 * Source: Richards, "Calendars", Explanatory Supplement to the Astronomical Almanac, 3rd ed. (2013),
 * section 15.11, counted from 1 March of year 0 so that the leap day comes last.
 */

/** A year of a plan or of a cash flow, in weeks. */
export const WEEKS_PER_YEAR = 52;

/** A year between two days, by the Julian calendar [days]. */
export const DAYS_PER_YEAR = 365.25;

const DAYS_PER_ERA = 146_097;
const YEARS_PER_ERA = 400;
/** Days from 0000-03-01 to 1970-01-01. */
const EPOCH = 719_468;

/** Days before the month in a year that starts in March: March is 0. */
const daysBeforeMonth = (monthFromMarch: number): number =>
  Math.floor((153 * monthFromMarch + 2) / 5);

const fromCivil = (year: number, month: number, dayOfMonth: number): number => {
  const marchYear = month > 2 ? year : year - 1;
  const era = Math.floor(marchYear / YEARS_PER_ERA);
  const yearOfEra = marchYear - era * YEARS_PER_ERA;
  const dayOfYear = daysBeforeMonth((month + 9) % 12) + dayOfMonth - 1;
  const leapDays = Math.floor(yearOfEra / 4) - Math.floor(yearOfEra / 100);
  return era * DAYS_PER_ERA + yearOfEra * 365 + leapDays + dayOfYear - EPOCH;
};

/** Year, month (1 to 12) and day of month of a day number; a fraction of a day is dropped. */
export function civilDay(day: number): { year: number; month: number; dayOfMonth: number } {
  const shifted = Math.floor(day) + EPOCH;
  const era = Math.floor(shifted / DAYS_PER_ERA);
  const dayOfEra = shifted - era * DAYS_PER_ERA;
  const yearOfEra = Math.floor(
    (dayOfEra -
      Math.floor(dayOfEra / 1460) +
      Math.floor(dayOfEra / 36_524) -
      Math.floor(dayOfEra / 146_096)) /
      365,
  );
  const dayOfYear =
    dayOfEra - (365 * yearOfEra + Math.floor(yearOfEra / 4) - Math.floor(yearOfEra / 100));
  const monthFromMarch = Math.floor((5 * dayOfYear + 2) / 153);
  const month = monthFromMarch < 10 ? monthFromMarch + 3 : monthFromMarch - 9;
  return {
    year: yearOfEra + era * YEARS_PER_ERA + (month <= 2 ? 1 : 0),
    month,
    dayOfMonth: dayOfYear - daysBeforeMonth(monthFromMarch) + 1,
  };
}

/** Day number of `YYYY-MM-DD`; null where the text is no such day (2026-02-30 is none). */
export function dayNumber(text: string): number | null {
  const parts = /^(\d{4})-(\d{2})-(\d{2})$/.exec(text);
  if (parts === null) return null;
  const [year, month, dayOfMonth] = [Number(parts[1]), Number(parts[2]), Number(parts[3])];
  if (month < 1 || month > 12) return null;
  const day = fromCivil(year, month, dayOfMonth);
  return dayText(day) === text ? day : null;
}

/**
 * `YYYY-MM-DD` of a day number; a fraction of a day is dropped.
 *
 * @param day Day number [day].
 */
export function dayText(day: number): string {
  const { year, month, dayOfMonth } = civilDay(day);
  const two = (value: number): string => String(value).padStart(2, "0");
  return `${String(year).padStart(4, "0")}-${two(month)}-${two(dayOfMonth)}`;
}
