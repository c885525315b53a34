import { verdict } from "../report/pads-text.ts";
import { meetDefaults } from "../rooms/domain-room.ts";
import type { App } from "./app.ts";
import type { DayAnswer } from "./day-task.ts";
import { button, h, refill } from "./element.ts";
import { field, text } from "./labelled-field.ts";
import { localMoment } from "./local-time.ts";
import { LogList } from "./log-list.ts";

/** The water, and what it asks of the pads. */
export class DayPads {
  readonly node: HTMLElement;
  readonly #app: App;
  readonly #written: LogList;
  readonly #verdict = h("p", {});
  readonly #said = h("p", { class: "said", role: "status" });
  readonly #water = field("", { inputmode: "decimal" });
  readonly #strokes = field("Strokes found right on one pad", { inputmode: "numeric" });
  readonly #lane = field("That pad’s lane", {});
  readonly #soaked = field("Minutes it lay in the water before", { inputmode: "numeric" });
  readonly #unit = h("span", {});

  constructor(app: App) {
    this.#app = app;
    this.#written = new LogList(app, "pads");
    this.#water.node.prepend(this.#unit);
    this.node = h(
      "div",
      {},
      this.#verdict,
      this.#water.node,
      h(
        "details",
        {},
        h("summary", {}, "A pad was adjusted"),
        this.#strokes.node,
        this.#lane.node,
        this.#soaked.node,
      ),
      button("Store the water", () => this.#store()),
      this.#said,
      this.#written.node,
    );
  }

  get #degrees(): "C" | "F" {
    return (this.#app.pool?.meet ?? meetDefaults).pads.unit;
  }

  update(answer: DayAnswer | null): void {
    this.#written.update();
    refill(this.#unit, `Water now, °${this.#degrees}`);
    const due = answer?.ready.pads ?? null;
    const words = due === null ? "No water is written down yet." : verdict(due);
    refill(this.#verdict, `${words.charAt(0).toUpperCase()}${words.slice(1)}`);
  }

  async #store(): Promise<void> {
    const wrong = await this.#app.logs.line("pads", {
      taken_at: localMoment(new Date()),
      [`water_${this.#degrees.toLowerCase()}`]: text(this.#water),
      strokes: text(this.#strokes),
      lane: text(this.#lane),
      soaked_minutes: text(this.#soaked),
    });
    refill(this.#said, wrong === null ? "Stored." : `Not stored: ${wrong}.`);
    if (wrong !== null) return;
    for (const { input } of [this.#water, this.#strokes, this.#lane, this.#soaked])
      input.value = "";
  }
}
