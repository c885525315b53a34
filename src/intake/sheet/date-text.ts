import { readMoment } from "../moment-text.ts";

/** Which of two numbers in `03/04/2026` is the day. */
export type DateOrder = "dmy" | "mdy";

/** What a date would be under each order, ISO 8601; null where no such day exists. */
export interface EitherDate {
  readonly dmy: string | null;
  readonly mdy: string | null;
  /** The year has two digits: then it may as well be the first number, and nothing is sure. */
  readonly shortYear: boolean;
}

/** The first letters by which a month is known: English, German, Spanish, French. */
const months: readonly RegExp[] = [
  /^(jan|ene)/,
  /^(feb|fév|fev)/,
  /^(mar|mär|maerz)/,
  /^(apr|abr|avr)/,
  /^(may|mai)/,
  /^(jun|juin)/,
  /^(jul|juil)/,
  /^(aug|ago|aoû|aou)/,
  /^sep/,
  /^(oct|okt)/,
  /^nov/,
  /^(dec|dez|dic|déc)/,
];

const behindDate = /^[T,]?\s*(?:(?:at|um|,)\s+)?(.*)$/i;
const numbers = /^(\d{1,4})([./-])(\d{1,2})\2(\d{1,4})(?=$|[\sT,])(.*)$/i;
const dayFirst =
  /^(\d{1,2})(?:st|nd|rd|th|\.)?[\s-]+(?:de\s+)?(\p{L}{3,12})\.?,?[\s-]+(?:de\s+)?(\d{4})(?=$|[\sT,])(.*)$/iu;
const monthFirst = /^(\p{L}{3,12})\.?\s+(\d{1,2})(?:st|nd|rd|th)?,?\s+(\d{4})(?=$|[\sT,])(.*)$/iu;
const weekday = /^\p{L}{2,12}\.?(?:,\s*(?=[\p{L}\d])|\s+(?=\d{1,2}[./-]\d))/u;
const clock =
  /^(\d{1,2})[:.h](\d{2})(?:[:.](\d{2})(?:[.,]\d{1,9})?)?\s*([ap]\.?m\.?)?\s*(?:uhr|h)?\s*(Z|[+-]\d\d:?(?:\d\d)?)?$/i;

const two = (digits: string): string => digits.padStart(2, "0");

/** `8:01 pm` as `T20:01`, nothing as nothing; null where it is no time of day. */
function timeOf(text: string): string | null {
  const bare = (behindDate.exec(text)?.[1] ?? text).trim();
  if (bare === "") return "";
  const match = clock.exec(bare);
  if (match === null) return null;
  const [, hours = "", minutes, seconds, half = "", zone = ""] = match;
  let hour = Number(hours);
  if (half !== "") {
    if (hour < 1 || hour > 12) return null;
    hour = (hour % 12) + (/^p/i.test(half) ? 12 : 0);
  }
  return `T${two(String(hour))}:${minutes}${seconds === undefined ? "" : `:${seconds}`}${zone}`;
}

const isoOf = (year: string, month: string, day: string, time: string): string | null =>
  readMoment(`${year}-${two(month)}-${two(day)}${time}`)?.text ?? null;

const certain = (iso: string | null): EitherDate | null =>
  iso === null ? null : { dmy: iso, mdy: iso, shortYear: false };

function named(text: string): EitherDate | null {
  const first = dayFirst.exec(text);
  const second = first === null ? monthFirst.exec(text) : null;
  const [day, word, year, behind] =
    first !== null
      ? [first[1]!, first[2]!, first[3]!, first[4]!]
      : second !== null
        ? [second[2]!, second[1]!, second[3]!, second[4]!]
        : [];
  if (word === undefined) return null;
  const month = months.findIndex((one) => one.test(word.toLowerCase())) + 1;
  const time = timeOf(behind!);
  return month === 0 || time === null ? null : certain(isoOf(year!, String(month), day!, time));
}

/**
 * A date as people write it, with or without a time of day: `24/08/2026`, `21.9.2026 08:01`,
 * `2026/8/24`, `24 Aug 2026`, `8/24/2026 8:01 PM`; null where it is none.
 *
 * With dots the day stands first, as wherever dates are written so (ISO 8601 apart, common practice);
 * with strokes or hyphens and the year last, either may, and the sheet must tell.
 */
export function eitherDate(written: string): EitherDate | null {
  if (written.length > 60) return null;
  const text = written.normalize("NFKC").trim().replace(weekday, "");
  const match = numbers.exec(text);
  if (match === null) return named(text);
  const [, first = "", mark, second = "", third = "", behind = ""] = match;
  const time = timeOf(behind);
  if (time === null) return null;
  if (first.length === 4) {
    return third.length > 2 ? null : certain(isoOf(first, second, third, time));
  }
  if (first.length === 3 || (third.length !== 4 && third.length !== 2)) return null;
  const shortYear = third.length === 2;
  const year = shortYear ? `20${third}` : third;
  const dmy = isoOf(year, second, first, time);
  if (mark === "." && !shortYear) return certain(dmy);
  const mdy = mark === "." ? null : isoOf(year, first, second, time);
  return dmy === null && mdy === null ? null : { dmy, mdy, shortYear };
}

/** The order that a date can only have; null where it has either, or says nothing about it. */
export function orderShown({ dmy, mdy, shortYear }: EitherDate): DateOrder | null {
  if (shortYear || (dmy === null) === (mdy === null)) return null;
  return dmy === null ? "mdy" : "dmy";
}

/** Does it take an order to know the day? */
export const needsOrder = ({ dmy, mdy, shortYear }: EitherDate): boolean =>
  shortYear || (dmy !== null && mdy !== null && dmy !== mdy);

/** What to ask where a sheet leaves both open. */
export const dateQuestion = (text: string): string =>
  `has dates such as ${text}: is the day first or the month? Say it with --dates dmy or --dates mdy`;
