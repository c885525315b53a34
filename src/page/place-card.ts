import { circuitOf, connectorAt } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import type { App } from "./app.ts";
import { circuitTitle } from "./circuit-title.ts";
import { button, h, refill } from "./element.ts";
import { pathDrawing } from "./path-drawing.ts";
import { latestVolts } from "./place-picker.ts";
import type { Spot } from "./proposals.ts";

/** Where to put the meter now: the loudest thing on the screen, and read aloud when it changes. */
export class PlaceCard {
  readonly node: HTMLElement;
  readonly #words = h("p", { class: "place-words", role: "status", "aria-atomic": "true" });
  readonly #drawing = h("div", { class: "drawing" });
  readonly #why = h("p", { class: "why" });
  #shown = "";

  constructor(openPicker: () => void) {
    this.node = h(
      "div",
      { class: "where" },
      h(
        "div",
        { class: "where-line" },
        this.#words,
        button("Other point", openPicker, { class: "quiet other" }),
      ),
      this.#drawing,
      this.#why,
    );
  }

  update(app: App, pool: Pool, why: string): void {
    const spot = app.place;
    this.node.setAttribute("aria-busy", app.advice === null ? "true" : "false");
    if (this.#why.textContent !== why) refill(this.#why, why);
    const waits = app.advice === null;
    const circuit = spot === null ? undefined : circuitOf(pool, spot);
    const volts = latestVolts(app.readingsOf(app.walkNow));
    const values = circuit?.path.map(({ point }) => volts({ ...circuit, point }));
    const key = JSON.stringify([spot, values, spot === null && waits]);
    // Filled anew it would be read aloud again.
    if (key === this.#shown) return;
    this.#shown = key;
    if (spot === null || circuit === undefined) {
      refill(
        this.#words,
        h("span", { class: "place-circuit" }, waits ? "One moment …" : "Which point now?"),
      );
      refill(this.#drawing);
      return;
    }
    refill(this.#words, ...placeWords(pool, spot));
    const mark = (point: string) => ({ volts: volts({ ...spot, point }), word: "" });
    refill(this.#drawing, pathDrawing(circuit, spot.point, mark));
  }
}

function placeWords(pool: Pool, spot: Spot): readonly HTMLElement[] {
  const circuit = circuitOf(pool, spot);
  const connector = (circuit && connectorAt(circuit, spot.point)?.name) ?? spot.point;
  return [
    h("span", { class: "place-circuit" }, circuitTitle(spot)),
    h("strong", { class: "place-point" }, `at the ${spot.point}`),
    h("span", { class: "place-help" }, `behind the ${connector}, pool side`),
  ];
}
