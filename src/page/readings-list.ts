import { isResting, type Reading } from "../domain/reading.ts";
import { circuitText, counted } from "../report/names.ts";
import { sentence } from "../words/figure-words.ts";
import type { App } from "./app.ts";
import { circuitTitle } from "./circuit-title.ts";
import { button, h, refill } from "./element.ts";
import { voltsAsWritten } from "./ledger.ts";
import { decimalMark, voltsWords } from "./numbers.ts";

const clock = ({ takenAt }: Reading): string => /T(\d\d:\d\d)/.exec(takenAt?.text ?? "")?.[1] ?? "";

const stateWords = (one: Reading): string =>
  one.state === "moved" ? ", cord moved" : isResting(one) ? "" : ", pressed";

/** The readings of a walk, newest first: a tap on one corrects it or strikes it out. */
export class ReadingsList {
  readonly node = h("div", { class: "after" });
  readonly dialog = h("dialog", { class: "sheet", "aria-labelledby": "entry-title" });
  readonly #app: App;
  readonly #say: (words: string) => void;
  #shown: readonly Reading[] = [];
  #all = false;

  constructor(app: App, say: (words: string) => void) {
    this.#app = app;
    this.#say = say;
  }

  update(readings: readonly Reading[], walk: string | null): void {
    if (readings === this.#shown && readings.length > 0) return;
    this.#shown = readings;
    const newest = readings.toReversed();
    const shown = this.#all ? newest : newest.slice(0, 6);
    const rest = newest.length - shown.length;
    refill(
      this.node,
      newest.length > 0 && h("h2", {}, "Readings of this walk"),
      newest.length > 0 &&
        h(
          "ol",
          { class: "latest", "aria-label": "Readings, newest first" },
          ...shown.map((one) => h("li", {}, this.#entry(one))),
        ),
      rest > 0 && button(`Show ${rest} more`, () => this.#showAll(), { class: "quiet" }),
      h(
        "p",
        { class: "small count" },
        walk === null
          ? "No reading yet."
          : `${counted(readings.length, "reading")} in walk ${walk}.`,
      ),
    );
  }

  #entry(one: Reading): HTMLElement {
    const volts = voltsWords(one.volts);
    const place = `${circuitTitle(one)} · ${one.point}${stateWords(one)}`;
    const node = button("", () => this.open(one), {
      class: "entry-row",
    });
    node.append(
      h("span", {}, place),
      h("span", { class: "small" }, clock(one)),
      h("strong", {}, volts),
      h("span", { class: "aside" }, "correct or strike out"),
    );
    return node;
  }

  #showAll(): void {
    this.#all = true;
    this.#shown = [];
    this.update(this.#app.readingsOf(this.#app.walkNow), this.#app.walkNow);
  }

  /** One entry, to be corrected or struck out. */
  open(one: Reading): void {
    const { dialog } = this;
    const wrong = h("p", { class: "wrong", id: "entry-wrong", role: "alert" });
    const input = h("input", {
      id: "entry-volts",
      type: "text",
      inputmode: "decimal",
      autocomplete: "off",
      value: voltsAsWritten(one).replace(".", decimalMark),
      "aria-describedby": "entry-wrong",
    });
    const correct = async (): Promise<void> => {
      const volts = input.value.trim().replace(",", ".");
      const fault = await this.#app.correct(one, volts);
      if (fault !== null) return refill(wrong, `${sentence(fault)}.`);
      dialog.close();
      this.#say(
        `Corrected: ${circuitText(one)} ${one.point}, ${voltsWords(one.volts)} is now ${volts} V.`,
      );
    };
    const strike = async (): Promise<void> => {
      await this.#app.strike(one);
      dialog.close();
      this.#say(`Struck out: ${circuitText(one)} ${one.point}, ${voltsWords(one.volts)}.`);
    };
    refill(
      dialog,
      h(
        "div",
        { class: "sheet-head" },
        h("h2", { id: "entry-title" }, "One reading"),
        button("Close", () => dialog.close(), { class: "quiet" }),
      ),
      h("p", { class: "place-circuit" }, `${circuitTitle(one)} · ${one.point}`),
      h(
        "p",
        {},
        `${voltsWords(one.volts)}${stateWords(one)}${clock(one) === "" ? "" : `, read at ${clock(one)}`}.`,
      ),
      h("label", { for: "entry-volts" }, "The meter showed"),
      input,
      wrong,
      button("Correct it", () => correct(), { class: "main" }),
      button("Strike it out", () => strike(), { class: "danger wide-button" }),
      h(
        "p",
        { class: "small" },
        "Nothing is erased: the ledger keeps what was written and says that it no longer counts. Undo brings it back.",
      ),
    );
    dialog.showModal();
  }
}
