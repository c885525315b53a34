import { dayNumber } from "../domain/calendar.ts";
import type { Moment } from "../domain/reading.ts";

const iso =
  /^(\d{4})-?(\d\d)-?(\d\d)(?:[T ](\d\d)(?::?(\d\d)(?::?(\d\d)(?:[.,](\d{1,9}))?)?)? ?(Z|[+-]\d\d(?::?\d\d)?)?)?$/i;

/** `+02:00`, `-0330`, `Z` as seconds east of UTC; null for an hour that no zone has. */
function offsetSeconds(zone: string): number | null {
  if (zone.toUpperCase() === "Z") return 0;
  const hours = Number(zone.slice(1, 3));
  const minutes = Number(zone.slice(3).replace(":", "") || "0");
  if (hours > 14 || minutes > 59) return null;
  return (zone.startsWith("-") ? -1 : 1) * (hours * 3600 + minutes * 60);
}

/** The day read last, and its number: a sheet's rows are mostly of one day. */
let lastDay = "";
let lastNumber: number | null = null;

function cachedDayNumber(day: string): number | null {
  if (day !== lastDay) {
    lastNumber = dayNumber(day);
    lastDay = day;
  }
  return lastNumber;
}

/** Two digits at a place as a number, NaN where they are none. */
function twoDigits(text: string, at: number): number {
  const tens = text.charCodeAt(at) - 48;
  const ones = text.charCodeAt(at + 1) - 48;
  return tens >= 0 && tens <= 9 && ones >= 0 && ones <= 9 ? 10 * tens + ones : Number.NaN;
}

/** `2026-05-02T10:15:30` on the day read last, without the full grammar; null for anything else. */
function sameDay(text: string): Moment | null {
  if (text.length !== 19 || lastNumber === null || !text.startsWith(lastDay)) return null;
  if (text[10] !== "T" || text[13] !== ":" || text[16] !== ":") return null;
  const [hour, minute, second] = [twoDigits(text, 11), twoDigits(text, 14), twoDigits(text, 17)];
  if (!(hour < 24 && minute < 60 && second < 60)) return null;
  const seconds = lastNumber * 86_400 + hour * 3600 + minute * 60 + second;
  return { text, day: lastDay, seconds };
}

/**
 * Reads an ISO 8601 date, or date and time, null where it is none or no such moment exists.
 *
 * The offset is applied where one is written; without one the time is local and stays as written.
 * A blank in place of the T, a missing colon and a missing minute or second are accepted.
 */
export function readMoment(text: string): Moment | null {
  const quick = sameDay(text);
  if (quick !== null) return quick;
  const match = iso.exec(text);
  if (match === null) return null;
  const [, yyyy = "", mm = "", dd = "", hour, minute = "0", second = "0", fraction, zone] = match;
  const days = cachedDayNumber(`${yyyy}-${mm}-${dd}`);
  if (days === null) return null;
  // The remembered text, so that a day's moments share it.
  const day = lastDay;
  if (hour === undefined) return { text, day, seconds: null };
  const offset = zone === undefined ? 0 : offsetSeconds(zone);
  const outside = Number(hour) > 23 || Number(minute) > 59 || Number(second) > 59;
  if (outside || offset === null) return null;
  const whole = Number(hour) * 3600 + Number(minute) * 60 + Number(second) - offset;
  const seconds = days * 86_400 + whole + Number(`0.${fraction ?? "0"}`);
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
