import type { Moment } from "../domain/reading.ts";

const iso =
  /^(\d{4})-?(\d\d)-?(\d\d)(?:[T ](\d\d)(?::?(\d\d)(?::?(\d\d)(?:[.,](\d{1,9}))?)?)? ?(Z|[+-]\d\d(?::?\d\d)?)?)?$/i;

const isLeap = (year: number): boolean => year % 4 === 0 && (year % 100 !== 0 || year % 400 === 0);

function daysInMonth(year: number, month: number): number {
  if (month === 2) return isLeap(year) ? 29 : 28;
  return [4, 6, 9, 11].includes(month) ? 30 : 31;
}

/**
 * Days from 1970-01-01 to a date of the Gregorian calendar.
 *
 * Years start in March here, so that the leap day is a year's last: 365 days a year, a leap day
 * every fourth year but not every hundredth, and (153 m + 2) / 5 days before month m from March.
 */
export function dayNumber(year: number, month: number, day: number): number {
  const years = month > 2 ? year : year - 1;
  const fromMarch = (month + 9) % 12;
  const leapDays = Math.floor(years / 4) - Math.floor(years / 100) + Math.floor(years / 400);
  const beforeMonth = Math.floor((153 * fromMarch + 2) / 5);
  return 365 * years + leapDays + beforeMonth + day - 719_469;
}

/** `+02:00`, `-0330`, `Z` as seconds east of UTC; null for an hour that no zone has. */
function offsetSeconds(zone: string): number | null {
  if (zone.toUpperCase() === "Z") return 0;
  const hours = Number(zone.slice(1, 3));
  const minutes = Number(zone.slice(3).replace(":", "") || "0");
  if (hours > 14 || minutes > 59) return null;
  return (zone.startsWith("-") ? -1 : 1) * (hours * 3600 + minutes * 60);
}

/**
 * Reads an ISO 8601 date, or date and time, null where it is none or no such moment exists.
 *
 * The offset is applied where one is written; without one the time is local and stays as written.
 * A blank in place of the T, a missing colon and a missing minute or second are accepted.
 */
export function readMoment(text: string): Moment | null {
  const match = iso.exec(text);
  if (match === null) return null;
  const [, yyyy = "", mm = "", dd = "", hour, minute = "0", second = "0", fraction, zone] = match;
  const [year, month, date] = [Number(yyyy), Number(mm), Number(dd)];
  if (month < 1 || month > 12 || date < 1 || date > daysInMonth(year, month)) return null;
  const day = `${yyyy}-${mm}-${dd}`;
  if (hour === undefined) return { text, day, seconds: null };
  const offset = zone === undefined ? 0 : offsetSeconds(zone);
  const outside = Number(hour) > 23 || Number(minute) > 59 || Number(second) > 59;
  if (outside || offset === null) return null;
  const whole = Number(hour) * 3600 + Number(minute) * 60 + Number(second) - offset;
  const seconds = dayNumber(year, month, date) * 86_400 + whole + Number(`0.${fraction ?? "0"}`);
  return { text, day, seconds };
}

/** Words for a moment that could not be read, with the ISO form where the slip is plain. */
export function momentFault(text: string): string {
  const day = /^(\d{1,2})[./-](\d{1,2})[./-](\d{4})\b/.exec(text);
  const ymd = /^(\d{4})[./-](\d{1,2})[./-](\d{1,2})\b/.exec(text);
  const two = (digits: string | undefined): string => (digits ?? "").padStart(2, "0");
  if (ymd !== null && readMoment(`${ymd[1]}-${two(ymd[2])}-${two(ymd[3])}`) !== null) {
    return `not ISO 8601; did you mean ${ymd[1]}-${two(ymd[2])}-${two(ymd[3])}?`;
  }
  if (day !== null) {
    const either = [
      `${day[3]}-${two(day[2])}-${two(day[1])}`,
      `${day[3]}-${two(day[1])}-${two(day[2])}`,
    ];
    const real = [...new Set(either)].filter((form) => readMoment(form) !== null);
    if (real.length > 0) return `not ISO 8601; write it ${real.join(" or ")}`;
  }
  return "not an ISO 8601 date or time such as 2026-05-02 or 2026-05-02T10:15:00+02:00";
}
