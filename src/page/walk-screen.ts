import { circuitCells, circuitName, circuitOf, connectorAt } from "../domain/place.ts";
import type { Meter, Pool } from "../domain/pool.ts";
import type { Reading } from "../domain/reading.ts";
import { cautionsFor } from "../report/cautions.ts";
import { circuitText, connectorName, counted } from "../report/names.ts";
import { writtenVolts } from "./add-reading.ts";
import type { App } from "./app.ts";
import { circuitTitle } from "./circuit-title.ts";
import { button, h, refill } from "./element.ts";
import { localMoment } from "./local-time.ts";
import { MeterClock } from "./meter-clock.ts";
import { chanceWords, decimalMark, voltsWords } from "./numbers.ts";
import { pathDrawing } from "./path-drawing.ts";
import { latestVolts, placePicker } from "./place-picker.ts";
import type { Spot } from "./proposals.ts";
import type { Screen } from "./screen.ts";

/** Reading values off the meter, one after another. */
export class WalkScreen implements Screen {
  readonly node: HTMLElement;
  readonly #app: App;
  readonly #clock = new MeterClock();
  readonly #where = h("div", { class: "where" });
  readonly #said = h("p", { class: "said", role: "status" });
  readonly #wrong = h("p", { class: "wrong", id: "volts-wrong", role: "alert" });
  readonly #volts: HTMLInputElement;
  readonly #meter = h("select", { id: "meter", name: "meter" });
  readonly #state: HTMLSelectElement;
  readonly #note = h("input", { id: "note", name: "note", type: "text", autocomplete: "off" });
  readonly #after = h("div", { class: "after" });
  readonly #lead = h("p", { class: "lead" });
  readonly #undo: HTMLButtonElement;
  readonly #again: HTMLButtonElement;
  readonly #picker = placePicker((place) => this.#choose(place));
  /** A zero that waits to be confirmed. */
  #zeroAsked = "";
  #storing = false;
  #metersOf = "";

  constructor(app: App) {
    this.#app = app;
    this.#volts = h("input", {
      id: "volts",
      name: "volts",
      type: "text",
      inputmode: "decimal",
      autocomplete: "off",
      autocapitalize: "off",
      spellcheck: "false",
      enterkeyhint: "done",
      placeholder: `0${decimalMark}00`,
      "aria-describedby": "volts-wrong",
      on: { input: () => this.#hold() },
    });
    this.#state = h(
      "select",
      { id: "state", name: "state" },
      h("option", { value: "rest" }, "at rest"),
      h("option", { value: "pressed" }, "pressed"),
    );
    this.#undo = button("Undo", () => void this.#takeBack());
    this.#again = button("Take again", () => this.#takeAgain());
    this.node = this.#layout();
  }

  #layout(): HTMLElement {
    const form = h(
      "form",
      {
        class: "entry",
        novalidate: true,
        on: {
          submit: (event: Event) => {
            event.preventDefault();
            void this.#enter();
          },
        },
      },
      h("label", { for: "volts" }, "Volts shown"),
      h("div", { class: "volts-line" }, this.#volts, h("span", { "aria-hidden": "true" }, "V")),
      this.#wrong,
      h("button", { type: "submit", class: "main" }, "Store reading"),
    );
    return h(
      "section",
      { "aria-labelledby": "walk-title" },
      h("h1", { id: "walk-title", tabindex: "-1" }, "Walk"),
      this.#where,
      form,
      h(
        "div",
        { class: "row three" },
        button("Other point", () => this.#openPicker()),
        this.#again,
        this.#undo,
      ),
      this.#said,
      this.#clock.node,
      this.#lead,
      this.#after,
      h(
        "details",
        {},
        h("summary", {}, "Meter, switch, note"),
        h("label", { for: "meter" }, "Meter"),
        this.#meter,
        h("label", { for: "state" }, "Switch of the device"),
        this.#state,
        h("label", { for: "note" }, "Note with the next reading"),
        this.#note,
      ),
      h(
        "details",
        {},
        h("summary", {}, "A new walk"),
        h(
          "p",
          {},
          "Start one after something was cleaned, reseated or replaced: readings from before and after the work are not of the same path.",
        ),
        button("Start a new walk", () => void this.#newWalk()),
      ),
      h(
        "details",
        {},
        h("summary", {}, "Cautions"),
        ...cautionsFor("measure").map((one) => h("p", {}, one.words)),
      ),
      this.#picker.node,
    );
  }

  /** The field is where the finger goes first. */
  show(): void {
    this.#volts.focus({ preventScroll: true });
  }

  update(): void {
    const { pool } = this.#app;
    if (pool === null) return;
    this.#fillMeters(pool);
    this.#clock.use(this.#meterInHand(pool));
    this.#fillWhere(pool);
    const readings = this.#app.readingsOf(this.#app.walkNow);
    const last = readings.at(-1);
    this.#undo.disabled = (this.#app.record?.undo.length ?? 0) === 0;
    this.#again.disabled = last === undefined;
    this.#fillAfter(readings);
    this.#fillLead();
  }

  #fillMeters(pool: Pool): void {
    const names = JSON.stringify(pool.meters.map((meter) => meter.name));
    if (names === this.#metersOf) return;
    this.#metersOf = names;
    refill(
      this.#meter,
      ...pool.meters.map((meter) => h("option", { value: meter.name }, meter.name)),
    );
  }

  #meterInHand(pool: Pool): Meter | null {
    return pool.meters.find((meter) => meter.name === this.#meter.value) ?? pool.meters[0] ?? null;
  }

  #fillWhere(pool: Pool): void {
    const at = this.#app.place;
    const waits = at === null && this.#app.advice === null;
    this.#where.setAttribute("aria-busy", waits ? "true" : "false");
    if (at === null) {
      const words = waits
        ? "Working out what to read next …"
        : "Every point has been read. Choose any point to read it again.";
      refill(this.#where, h("p", { class: "place-words waiting" }, words));
      return;
    }
    const circuit = circuitOf(pool, at);
    if (circuit === undefined) return;
    const connector = connectorAt(circuit, at.point)?.name ?? at.point;
    const volts = latestVolts(this.#app.readingsOf(this.#app.walkNow));
    const drawing = pathDrawing(circuit, at.point, (point) => ({
      volts: volts({ ...at, point }),
      word: "",
    }));
    refill(
      this.#where,
      h(
        "p",
        { class: "place-words" },
        h("span", { class: "place-circuit" }, circuitTitle(at)),
        h("strong", { class: "place-point" }, `at the ${at.point}`),
        h(
          "span",
          { class: "place-help" },
          `Put the meter on just behind the ${connector}, on its pool side.`,
        ),
      ),
      drawing,
      h("p", { class: "why" }, whyHere(this.#app)),
    );
  }

  #fillAfter(readings: readonly Reading[]): void {
    const last = readings.slice(-4).toReversed();
    refill(
      this.#after,
      last.length > 0 &&
        h(
          "ol",
          { class: "latest", "aria-label": "Latest readings, newest first" },
          ...last.map((one) =>
            h(
              "li",
              {},
              h("span", {}, `${circuitTitle(one)} · ${one.point}`),
              h("strong", {}, voltsWords(one.volts)),
            ),
          ),
        ),
      h(
        "p",
        { class: "small" },
        `${counted(readings.length, "reading")} in walk ${this.#app.walkNow}.`,
      ),
    );
  }

  #fillLead(): void {
    const first = this.#app.findings?.diagnosis.connectors[0];
    const mine = this.#app.findings?.walk === this.#app.walkNow;
    const far = this.#app.ranking === "current" ? "So far" : "So far, without the last change";
    refill(
      this.#lead,
      mine && first !== undefined
        ? `${far}: ${connectorName(first)}, ${chanceWords(first.atFault)} at fault.`
        : "",
    );
  }

  #openPicker(): void {
    const { pool } = this.#app;
    const readings = this.#app.readingsOf(this.#app.walkNow);
    if (pool !== null) this.#picker.open(pool, readings, this.#app.place);
  }

  #choose(place: Spot): void {
    this.#app.choose(place);
    this.#volts.focus();
  }

  /** The point stays while its value is typed, whatever is worked out meanwhile. */
  #hold(): void {
    const { chosen, chosenBy, place } = this.#app;
    if (this.#volts.value === "") {
      if (chosen !== null && chosenBy === "typing") this.#app.choose(null);
    } else if (chosen === null && place !== null) this.#app.choose(place, "typing");
  }

  #takeAgain(): void {
    const last = this.#app.readingsOf(this.#app.walkNow).at(-1);
    if (last !== undefined) this.#choose(last);
  }

  async #takeBack(): Promise<void> {
    const last = this.#app.readingsOf(this.#app.walkNow).at(-1);
    await this.#app.undo();
    if (last === undefined) return;
    const { point, volts } = last;
    this.#app.choose({ ...circuitName(last), point });
    refill(this.#said, `Taken back: ${circuitText(last)} ${point}, ${voltsWords(volts)}.`);
    this.#volts.focus();
  }

  async #newWalk(): Promise<void> {
    await this.#app.newWalk();
    refill(this.#said, `New walk: ${this.#app.walkNow}.`);
  }

  /** The field is cleared only when the reading is on disk. */
  async #enter(): Promise<void> {
    const { pool, place } = this.#app;
    if (pool === null || this.#storing) return;
    if (place === null) return void refill(this.#wrong, "Choose the point first.");
    const typed = this.#volts.value;
    const volts = writtenVolts(typed);
    if (this.#asksAboutZero(volts)) return;
    this.#storing = true;
    try {
      const { point } = place;
      const wrong = await this.#app.enter({
        walk: this.#app.walkNow,
        ...circuitCells(place),
        point,
        volts,
        taken_at: localMoment(new Date()),
        meter: this.#meterInHand(pool)?.name ?? "",
        meter_on: this.#clock.justOn ? "yes" : "",
        state: this.#state.value,
        note: this.#note.value.trim(),
      });
      this.#entered(wrong, `Stored: ${circuitText(place)} ${point}, ${volts} V.`);
    } catch {
      this.#entered("It could not be stored. The value is still in the field.", "");
    } finally {
      this.#storing = false;
    }
  }

  #entered(wrong: string | null, said: string): void {
    refill(this.#wrong, wrong ?? "");
    this.#volts.setAttribute("aria-invalid", wrong === null ? "false" : "true");
    this.#volts.focus();
    if (wrong !== null) return;
    refill(this.#said, said);
    this.#volts.value = "";
    this.#note.value = "";
    this.#clock.justOn = false;
    this.#zeroAsked = "";
  }

  /** A blank display is written down as 0 by many: one question before it counts. */
  #asksAboutZero(volts: string): boolean {
    const isZero = volts !== "" && Number(volts) === 0;
    if (!isZero || this.#zeroAsked === volts) return false;
    this.#zeroAsked = volts;
    const off = this.#clock.mayBeOff ? " It has been on long enough to switch itself off." : "";
    refill(
      this.#wrong,
      `Does the display show 0, or is the meter off and blank?${off} Store again if it shows 0.`,
    );
    return true;
  }
}

function whyHere({ chosen, chosenBy, advice }: App): string {
  if (chosen !== null)
    return chosenBy === "tap" ? "You chose this point." : "The point whose value you are writing.";
  if (advice?.stop === "all-settled")
    return "Every contact is settled: you can stop here. More readings only confirm.";
  if (advice?.stop === "nothing-worth-taking")
    return "No reading would tell much more: you can stop here.";
  if (advice !== null && advice.readings.length > 0)
    return "This reading tells most for the time it takes.";
  return "In plain order: the last point first, for a good value there clears the whole path.";
}
