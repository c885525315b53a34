import type { App } from "./app.ts";
import { type DeckLog, sameLine } from "./deck-logs.ts";
import { button, h, refill } from "./element.ts";
import { field, text } from "./labelled-field.ts";
import { correctable, type LogEntry, logEntries } from "./log-entries.ts";

/** Rows shown at first. */
const FEW = 5;

const clock = (when: string): string => when.slice(0, 16).replace("T", " ");

/** What was written into a log of the deck day, newest first: a tap on a row corrects it or strikes it out. */
export class LogList {
  readonly node = h("div", { class: "log-list" });
  readonly #app: App;
  readonly #log: DeckLog;
  readonly #rows = h("div", {});
  readonly #said = h("p", { class: "said", role: "status" });
  readonly #dialog: HTMLDialogElement;
  #shown: unknown = null;
  #all = false;

  constructor(app: App, log: DeckLog) {
    this.#app = app;
    this.#log = log;
    this.#dialog = h("dialog", { class: "sheet", "aria-labelledby": `${log}-entry-title` });
    this.node.append(this.#rows, this.#said, this.#dialog);
  }

  update(): void {
    const { contents } = this.#app;
    if (contents === null || this.#shown === contents[this.#log]) return;
    this.#shown = contents[this.#log];
    const entries = logEntries(this.#log, contents);
    const shown = this.#all ? entries : entries.slice(0, FEW);
    const rest = entries.length - shown.length;
    refill(
      this.#rows,
      shown.length > 0 &&
        h(
          "p",
          { class: "small" },
          "Written down, newest first: tap a row to correct it or to strike it out.",
        ),
      h("ol", { class: "latest" }, ...shown.map((one) => h("li", {}, this.#row(one)))),
      rest > 0 && button(`Show ${rest} more`, () => this.#showAll(), { class: "quiet" }),
    );
  }

  #showAll(): void {
    this.#all = true;
    this.#shown = null;
    this.update();
  }

  #row(one: LogEntry): HTMLElement {
    const node = button("", () => this.#open(one), { class: "entry-row" });
    node.append(
      h("span", {}, one.words),
      h("span", { class: "small" }, clock(one.when)),
      h("span", { class: "aside" }, "correct or strike out"),
    );
    return node;
  }

  #open(one: LogEntry): void {
    const wrong = h("p", { class: "wrong", role: "alert" });
    const fields = correctable[this.#log]
      // Degrees stay in the unit in which they were written.
      .filter(([name]) => !name.startsWith("water_") || name in one.line)
      .map(([name, label]) => [name, field(label, { value: one.line[name] ?? "" })] as const);
    const keep = async (instead: LogEntry["line"] | null, words: string): Promise<void> => {
      const fault = await this.#app.logs.strike(this.#log, one.line, instead);
      if (fault !== null) return refill(wrong, `Not stored: ${fault}.`);
      this.#dialog.close();
      refill(this.#said, `${words}: ${one.words}.`);
    };
    const correct = async (): Promise<void> => {
      const changed = Object.fromEntries(fields.map(([name, input]) => [name, text(input)]));
      const instead = { ...one.line, ...changed };
      if (sameLine(one.line, instead)) return this.#dialog.close();
      await keep(instead, "Corrected, this no longer counts");
    };
    refill(
      this.#dialog,
      h(
        "div",
        { class: "sheet-head" },
        h("h2", { id: `${this.#log}-entry-title` }, "One row"),
        button("Close", () => this.#dialog.close(), { class: "quiet" }),
      ),
      h("p", { class: "place-circuit" }, one.words),
      one.when !== "" && h("p", {}, clock(one.when)),
      ...fields.map(([, { node }]) => node),
      wrong,
      button("Correct it", () => correct(), { class: "main" }),
      button("Strike it out", () => keep(null, "Struck out"), {
        class: "danger wide-button",
      }),
      h(
        "p",
        { class: "small" },
        "Nothing is erased: the file keeps the row and says that it no longer counts.",
      ),
    );
    this.#dialog.showModal();
  }
}
