import type { Moment } from "../../domain/reading.ts";
import { momentFault, readMoment } from "../moment-text.ts";
import { type DateOrder, eitherDate, needsOrder, orderShown } from "./date-text.ts";

/**
 * The dates of one sheet. One that can only be read one way (24/08/2026) tells how the others are
 * meant; `given` is what the user said, and then nothing is learnt.
 */
export class SheetDates {
  #order: DateOrder | null;
  #asked: string | null = null;
  /** The text read last: neighbours mostly share their day, and a round its moment. */
  #last = "";
  #lastMoment: Moment | null = null;

  constructor(given: DateOrder | null) {
    this.#order = given;
  }

  /** Learns from a date; true where the order is known or this date needs none. */
  learn(text: string): boolean {
    if (this.#order !== null || text === "" || readMoment(text) !== null) return true;
    const either = eitherDate(text);
    if (either === null) return true;
    this.#order = orderShown(either);
    if (this.#order !== null || !needsOrder(either)) return true;
    this.#asked ??= text;
    return false;
  }

  /** A date that nobody can tell without knowing the order; null where there is none. */
  get open(): string | null {
    return this.#order === null ? this.#asked : null;
  }

  /** The moment that a text means in this sheet, ISO 8601 or as people write it; null if none. */
  moment(text: string): Moment | null {
    if (text === this.#last) return this.#lastMoment;
    this.#last = text;
    this.#lastMoment = readMoment(text) ?? this.#written(text);
    return this.#lastMoment;
  }

  #written(text: string): Moment | null {
    const either = eitherDate(text);
    if (either === null) return null;
    const shown = orderShown(either);
    if (shown !== null && this.#order !== null && shown !== this.#order) return null;
    const iso = shown !== null ? either[shown] : either[this.#order ?? "dmy"];
    return iso === null ? null : readMoment(iso);
  }

  /** Words for a text that is no moment. */
  fault(text: string): string {
    const either = eitherDate(text);
    if (either === null) return momentFault(text);
    const first = this.#order === "mdy" ? "month" : "day";
    return `not a day where the ${first} stands first, as elsewhere in this sheet`;
  }
}
