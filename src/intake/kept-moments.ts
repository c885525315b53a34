import type { Moment } from "../domain/reading.ts";
import { KeptTexts } from "./kept-texts.ts";
import { readMoment } from "./moment-text.ts";

/** Days that are told apart by number; a pool of weekly walks has them for three centuries. */
const mostDays = 1 << 14;

/** Seconds of a day take 17 bits, the day's number 14, and this one says that it is so. */
const byNumber = 0x80000000;

const two = (number: number): string => String(number).padStart(2, "0");

/** `10:00:08` of the seconds since midnight. */
const clockOf = (seconds: number): string =>
  `${two(Math.floor(seconds / 3600))}:${two(Math.floor(seconds / 60) % 60)}:${two(seconds % 60)}`;

/** Two digits of a text as a number; anything where they are none. */
const twoAt = (text: string, at: number): number =>
  10 * (text.charCodeAt(at) - 48) + text.charCodeAt(at + 1) - 48;

/**
 * Moments in four bytes each: most are a day, `T` and a time of day to the second, which two numbers
 * say; the others keep their text.
 */
export class KeptMoments {
  readonly #texts = new KeptTexts();
  readonly #days: string[] = [];
  readonly #numbers = new Map<string, number>();

  /** Keeps a moment and says where; 0 stands for null. */
  add(moment: Moment | null): number {
    if (moment === null) return 0;
    const { text, day } = moment;
    const seconds = secondsOfDay(text);
    if (seconds === null || text.slice(0, 10) !== day) return this.#texts.add(text);
    const number = this.#numbers.get(day) ?? this.#newDay(day);
    return number < 0 ? this.#texts.add(text) : (byNumber | (number << 17) | seconds) >>> 0;
  }

  at(place: number): Moment | null {
    if (place === 0) return null;
    const known = (place & byNumber) !== 0;
    const text = known
      ? `${this.#days[(place >>> 17) & (mostDays - 1)]}T${clockOf(place & 0x1ffff)}`
      : this.#texts.at(place)!;
    return readMoment(text);
  }

  /** The day's number, -1 where there are too many. */
  #newDay(day: string): number {
    if (this.#days.length === mostDays) return -1;
    this.#numbers.set(day, this.#days.length);
    return this.#days.push(day) - 1;
  }
}

/** Seconds since midnight of `2026-05-02T10:00:08`; null where the text is any other. */
function secondsOfDay(text: string): number | null {
  if (text.length !== 19 || text[10] !== "T" || text[13] !== ":" || text[16] !== ":") return null;
  const seconds = 3600 * twoAt(text, 11) + 60 * twoAt(text, 14) + twoAt(text, 17);
  return seconds < 86_400 && twoAt(text, 14) < 60 && twoAt(text, 17) < 60 ? seconds : null;
}
