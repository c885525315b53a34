import { circuitCells, circuitName, type Lane, sameLane } from "../domain/place.ts";
import { touchPlaces } from "../domain/touch.ts";
import { circuitText, counted } from "../report/names.ts";
import { blameWords, swapWords } from "../report/touches-text.ts";
import { sentence } from "../words/figure-words.ts";
import type { App } from "./app.ts";
import type { DayAnswer } from "./day-task.ts";
import { button, h, refill } from "./element.ts";
import { localMoment } from "./local-time.ts";
import { LogList } from "./log-list.ts";

/** Presses counted by thumb: one tap for each that the timer took, one for each that it missed. */
export class DayPresses {
  readonly node: HTMLElement;
  readonly #app: App;
  readonly #written: LogList;
  readonly #circuit = h("select", { id: "press-circuit" });
  readonly #place: HTMLSelectElement;
  readonly #kind: HTMLSelectElement;
  readonly #heat = h("input", { id: "press-heat", type: "text", autocomplete: "off" });
  readonly #by = h("input", { id: "press-by", type: "text", autocomplete: "off" });
  readonly #count = h("p", { class: "press-count", role: "status" });
  readonly #said = h("div", { class: "said", role: "status" });
  readonly #list = h("ul", { class: "plain" });
  #taken = 0;
  #missed = 0;
  #circuits = "";

  constructor(app: App) {
    this.#app = app;
    this.#written = new LogList(app, "touches");
    const option = (value: string, label = value): HTMLElement => h("option", { value }, label);
    this.#place = h(
      "select",
      { id: "press-place" },
      option("", "all over it"),
      ...touchPlaces.map((one) => option(one)),
    );
    this.#kind = h(
      "select",
      { id: "press-kind" },
      option("fingertip", "a fingertip: should register"),
      option("open-hand", "the open hand: should not"),
    );
    this.node = h(
      "div",
      {},
      h("label", { for: "press-circuit" }, "Pressed"),
      this.#circuit,
      h("label", { for: "press-place" }, "Where on it"),
      this.#place,
      h("label", { for: "press-kind" }, "With"),
      this.#kind,
      h("label", { for: "press-heat" }, "Heat or check (stays for the next)"),
      this.#heat,
      h("label", { for: "press-by" }, "Pressed by (initials)"),
      this.#by,
      this.#count,
      h(
        "div",
        { class: "row press-keys" },
        button("Timer took it", () => this.#tap(true), { class: "press-key" }),
        button("Missed", () => this.#tap(false), { class: "press-key missed" }),
      ),
      h(
        "div",
        { class: "row" },
        button("Store these presses", () => this.#store(), { class: "main" }),
        button("Start the count again", () => this.#clear(), { class: "quiet" }),
      ),
      this.#said,
      this.#list,
      this.#written.node,
    );
    this.#clear();
  }

  update(answer: DayAnswer | null): void {
    this.#written.update();
    const { pool } = this.#app;
    const names = pool?.circuits.map((one) => circuitText(one)) ?? [];
    if (JSON.stringify(names) !== this.#circuits) {
      this.#circuits = JSON.stringify(names);
      refill(this.#circuit, ...names.map((name, at) => h("option", { value: at }, sentence(name))));
    }
    refill(
      this.#list,
      ...(answer?.pressed ?? []).map((state) => {
        const { missed, proof } = state;
        const words =
          missed === null
            ? "not pressed with a fingertip"
            : `${missed.tried - missed.events} of ${missed.tried} registered` +
              (missed.events > 0 ? `. ${blameWords(missed)}` : "") +
              (missed.events === 0 && proof?.state === "proven" ? ": proven" : "");
        return h("li", { class: "again-item" }, `${sentence(circuitText(state))}: ${words}.`);
      }),
    );
  }

  #tap(taken: boolean): void {
    if (taken) this.#taken += 1;
    else this.#missed += 1;
    this.#fillCount();
  }

  #clear(): void {
    [this.#taken, this.#missed] = [0, 0];
    this.#fillCount();
  }

  #fillCount(): void {
    const tried = this.#taken + this.#missed;
    refill(this.#count, tried === 0 ? "No presses yet." : `${this.#taken} of ${tried} registered`);
  }

  async #store(): Promise<void> {
    const circuit = this.#app.pool?.circuits[Number(this.#circuit.value)];
    const [taken, missed, place, kind] = [
      this.#taken,
      this.#missed,
      this.#place.value,
      this.#kind.value,
    ];
    const tried = taken + missed;
    if (circuit === undefined || tried === 0) return refill(this.#said, "Count a press first.");
    const wrong = await this.#app.logs.line("touches", {
      ...circuitCells(circuit),
      kind,
      tried: String(tried),
      registered: String(taken),
      place,
      heat: this.#heat.value.trim(),
      by: this.#by.value.trim(),
      taken_at: localMoment(new Date()),
    });
    if (wrong !== null) return refill(this.#said, `Not stored: ${wrong}.`);
    const where = place === "" ? "" : `, ${place}`;
    const stored = `Stored: ${circuitText(circuit)}${where}, ${taken} of ${counted(tried, "press", "presses")}.`;
    const failed = kind === "fingertip" && missed > 0;
    refill(this.#said, h("p", {}, stored), failed && this.#swap(circuitName(circuit).lane));
    // What was pressed meanwhile counts already.
    [this.#taken, this.#missed] = [this.#taken - taken, this.#missed - missed];
    this.#fillCount();
  }

  /** The first step after a failed touch: no pad is lifted before the plug was changed. */
  #swap(lane: Lane | null): HTMLElement {
    const { pool } = this.#app;
    const at = pool?.lanes.findIndex((one) => sameLane({ lane: one }, { lane })) ?? -1;
    const neighbour = at < 0 ? undefined : (pool?.lanes[at + 1] ?? pool?.lanes[at - 1]);
    const where = neighbour === undefined ? "" : ` The neighbour is lane ${neighbour}.`;
    return h("p", {}, `${sentence(swapWords)}.${where}`);
  }
}
