import { circuitCells } from "../domain/place.ts";
import type { Meter, Pool } from "../domain/pool.ts";
import type { Reading } from "../domain/reading.ts";
import { decimalsOf } from "../intake/volts-text.ts";
import { circuitText } from "../report/names.ts";
import { type Action, actionValue, actionWords } from "./actions.ts";
import type { App } from "./app.ts";
import type { Contents } from "./contents.ts";
import { didYouMean } from "./did-you-mean.ts";
import { draftOf, keepDraft } from "./draft.ts";
import { button, type Child, h, refill } from "./element.ts";
import { Keypad } from "./keypad.ts";
import { meantDigits } from "./ledger.ts";
import { MeterClock } from "./meter-clock.ts";
import { decimalMark, voltsWords } from "./numbers.ts";
import { isUnexpected, nominal, type Spot, sameSpot, spotOf } from "./proposals.ts";
import { readingMoment } from "./walk-in-hand.ts";

/** What else goes with the next reading. */
export interface EntrySettings {
  readonly meter: Meter | null;
  readonly pressed: boolean;
  readonly by: string;
  readonly note: string;
  /** It is stored: what held for one reading is over. */
  readonly stored: () => void;
}

/** The value itself: its display, the keys under it, and what is to be said about it. */
export class Entry {
  readonly node: HTMLElement;
  readonly volts: HTMLInputElement;
  readonly #app: App;
  readonly #settings: () => EntrySettings;
  readonly #wrong = h("div", { class: "wrong", id: "volts-wrong", role: "alert" });
  readonly #last = h("div", { class: "last" });
  readonly #said = h("p", { class: "said", role: "status" });
  readonly #clock: MeterClock;
  readonly #keypad: Keypad;
  #moved = false;
  /** A zero that is known to stand on the display. */
  #zeroShown = false;
  #storing = false;
  #draftFor = "";

  constructor(app: App, settings: () => EntrySettings) {
    this.#app = app;
    this.#settings = settings;
    this.volts = h("input", {
      ...{ id: "volts", name: "volts", type: "text", inputmode: "none" },
      ...{ autocomplete: "off", autocapitalize: "off", spellcheck: "false", enterkeyhint: "done" },
      placeholder: `–${decimalMark}––`,
      "aria-describedby": "volts-wrong",
      on: { input: () => this.#typed() },
    });
    this.#keypad = new Keypad({
      digit: (text) => this.#press(this.volts.value + text),
      erase: () => this.#press(this.volts.value.slice(0, -1)),
      store: () => {},
      moved: () => this.#setMoved(!this.#moved),
      cannotReach: () => this.#cannotReach(),
      meterOn: () => this.#clock.switchOn(),
    });
    this.#clock = new MeterClock((face) => this.#keypad.meter(face));
    this.node = this.#layout();
  }

  #layout(): HTMLElement {
    const submit = (event: Event): void => {
      event.preventDefault();
      void this.store();
    };
    return h(
      "form",
      { class: "entry", novalidate: true, on: { submit } },
      h(
        "div",
        { class: "display" },
        h("label", { for: "volts" }, "Volts shown"),
        h("div", { class: "volts-line" }, this.volts, h("span", { "aria-hidden": "true" }, "V")),
        this.#last,
        this.#wrong,
        this.#said,
      ),
      this.#keypad.node,
    );
  }

  update(pool: Pool): void {
    this.#clock.use(this.#settings().meter);
    this.#takeUpDraft();
    this.#fillLast(pool);
  }

  say(words: string): void {
    refill(this.#wrong);
    // What was stored stands beside it for the eye already.
    this.#said.classList.toggle("aside", words.startsWith("Stored: "));
    if (this.#said.textContent !== words) refill(this.#said, words);
  }

  /** What was half typed before a reload stands there again, at its place. */
  #takeUpDraft(): void {
    const id = this.#app.record?.id ?? "";
    if (this.#draftFor === id) return;
    this.#draftFor = id;
    const draft = draftOf(id);
    this.volts.value = draft?.typed ?? "";
    if (draft !== null) this.#app.choose(draft.spot, draft.typed === "" ? "tap" : "typing");
  }

  /** The latest reading of this walk, with undo and redo that say what they touch. */
  #fillLast(pool: Pool): void {
    const { undoable, redoable } = this.#app;
    const last = this.#app.readingsOf(this.#app.walkNow).at(-1);
    const expected = last === undefined ? null : this.#unexpected(pool, last);
    const again = (one: Reading): HTMLButtonElement =>
      button("Read again", () => this.#app.choose(spotOf(one)), { class: "slim" });
    const step = (label: string, action: Action, act: () => Promise<void>): HTMLButtonElement =>
      button(`${label} ${actionValue(action)}`, () => act(), {
        class: "slim",
        "aria-label": `${label} ${actionValue(action)}: ${actionWords(action)}`,
      });
    const parts: readonly Child[] = [
      last === undefined
        ? h("span", { class: "last-words" }, "")
        : h(
            "span",
            { class: "last-words" },
            h("strong", {}, voltsWords(last.volts)),
            ` ${circuitText(last)} ${last.point}`,
            expected !== null &&
              h("strong", { class: "odd" }, `should read ${voltsWords(expected)}`),
          ),
      last !== undefined && expected !== null && again(last),
      undoable !== null && step("Undo", undoable, () => this.#undo()),
      redoable !== null && step("Redo", redoable, () => this.#redo()),
    ];
    refill(this.#last, ...parts);
  }

  #unexpected(pool: Pool, reading: Reading): number | null {
    const { findings, walkNow } = this.#app;
    const emf = findings?.walk === walkNow ? findings?.diagnosis.emf : undefined;
    return isUnexpected(pool, reading, emf ?? nominal(pool));
  }

  async #undo(): Promise<void> {
    const action = await this.#app.undo();
    if (action !== null) this.say(`Undone: ${actionWords(action)}.`);
  }

  async #redo(): Promise<void> {
    const action = await this.#app.redo();
    if (action !== null) this.say(`Done again: ${actionWords(action)}.`);
  }

  #setMoved(on: boolean): void {
    this.#moved = on;
    this.#keypad.moved = on;
  }

  #cannotReach(): void {
    const { place } = this.#app;
    if (place === null) return;
    this.#press("");
    this.#app.cannotReach(place);
    this.say(`Left out: ${circuitText(place)} ${place.point}.`);
  }

  #press(text: string): void {
    this.volts.value = text;
    this.#typed();
  }

  get #decimals(): number {
    return decimalsOf(this.#settings().meter?.resolution ?? 0.01);
  }

  /** The point stays while its value is typed, and the last digit stores. */
  #typed(): void {
    const { value } = this.volts;
    this.#hold(value);
    refill(this.#wrong);
    if (value !== "") this.#clock.writing();
    const whole = /^\d+$/.test(value.trim()) && value.trim().length === this.#decimals + 1;
    if (whole && this.#decimals > 0) void this.store();
  }

  #hold(value: string): void {
    const { chosen, chosenBy, place, record } = this.#app;
    if (value === "") {
      if (chosen !== null && chosenBy === "typing") this.#app.choose(null);
    } else if (chosen === null && place !== null) this.#app.choose(place, "typing");
    const spot = this.#app.chosen;
    keepDraft(record === null || spot === null ? null : { pool: record.id, spot, typed: value });
  }

  /** The field is cleared only when the reading is on disk. */
  async store(): Promise<void> {
    const { pool, place, contents } = this.#app;
    if (pool === null || contents === null || this.#storing) return;
    const typed = this.volts.value;
    if (typed.trim() === "") return;
    if (place === null) return void refill(this.#wrong, h("p", {}, "Choose the point first."));
    const volts = meantDigits(typed, this.#decimals);
    if (!this.#zeroShown && volts !== "" && Number(volts) === 0) return this.#askAboutZero();
    this.#storing = true;
    let wrong: string | null = "";
    try {
      wrong = await this.#app.enter(this.#entered(place, volts, contents));
      if (wrong === null) this.#stored(place, volts, typed);
      else this.#refuse(wrong, volts, pool);
    } catch {
      refill(this.#wrong, h("p", {}, "It could not be stored. The value is still in the field."));
    } finally {
      this.#storing = false;
    }
    if (wrong === null && this.volts.value !== "") this.#typed();
  }

  #entered(place: Spot, volts: string, contents: Contents): Parameters<App["enter"]>[0] {
    const { meter, pressed, by, note } = this.#settings();
    this.#clock.writing();
    return {
      ...circuitCells(place),
      point: place.point,
      volts,
      taken_at: readingMoment(contents, new Date()),
      meter: meter?.name ?? "",
      meter_on: this.#clock.justOn ? "yes" : "",
      state: pressed ? "pressed" : this.#moved ? "moved" : "rest",
      by,
      note,
    };
  }

  #stored(place: Spot, volts: string, typed: string): void {
    // What was typed while it went to disk is of the next value.
    const { value } = this.volts;
    this.volts.value = value.startsWith(typed) ? value.slice(typed.length) : "";
    keepDraft(null);
    this.volts.setAttribute("aria-invalid", "false");
    this.say(`Stored: ${circuitText(place)} ${place.point}, ${volts} V.`);
    this.#clock.stored();
    this.#zeroShown = false;
    this.#setMoved(false);
    this.#settings().stored();
    if (this.#app.chosen !== null && sameSpot(this.#app.chosen, place)) this.#app.choose(null);
  }

  #refuse(reason: string, volts: string, pool: Pool): void {
    this.volts.setAttribute("aria-invalid", "true");
    const accept = (text: string): HTMLButtonElement =>
      button(`${text.replace(".", decimalMark)} V`, () => {
        this.volts.value = text;
        void this.store();
      });
    const meant = didYouMean(reason, volts, pool.supplies[0]?.emf ?? 5);
    refill(
      this.#wrong,
      h("p", {}, `${reason.replace(/; did you mean .*$/, "")}.`),
      meant.length > 0 &&
        h("div", { class: "row" }, h("span", {}, "Did you mean"), ...meant.map(accept)),
    );
  }

  /** A blank display is written down as 0 by many: one question before it counts. */
  #askAboutZero(): void {
    const off = this.#clock.mayBeOff ? " It has been on long enough to switch itself off." : "";
    const shows = (): void => {
      this.#zeroShown = true;
      void this.store();
    };
    const blank = (): void => {
      this.#press("");
      this.#clock.switchOn();
      this.say("Not stored: a blank is no reading. Switch the meter on and read again.");
    };
    refill(
      this.#wrong,
      h("p", {}, `Does the display show 0, or is the meter off and blank?${off}`),
      h("div", { class: "row" }, button("It shows 0", shows), button("It is blank", blank)),
    );
  }
}
