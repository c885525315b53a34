import type { Circuit } from "../domain/circuit.ts";
import { circuitKey, circuitName, sameCircuit } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import type { Reading } from "../domain/reading.ts";
import { circuitTitle } from "./circuit-title.ts";
import { button, h, refill } from "./element.ts";
import { voltsWords } from "./numbers.ts";
import type { Spot } from "./proposals.ts";

/** The latest value of each place, for the buttons to show. */
export function latestVolts(readings: readonly Reading[]): (place: Spot) => number | null {
  const latest = new Map<string, number>();
  const key = (spot: Spot): string => JSON.stringify([circuitKey(spot), spot.point]);
  for (const reading of readings) latest.set(key(reading), reading.volts);
  return (place) => latest.get(key(place)) ?? null;
}

/** All points of all circuits, one tap each: the second of the two taps to any other place. */
export function placePicker(onChoose: (place: Spot) => void): {
  readonly node: HTMLDialogElement;
  open(pool: Pool, readings: readonly Reading[], near: Spot | null): void;
} {
  const body = h("div", { class: "places" });
  const node: HTMLDialogElement = h(
    "dialog",
    { class: "sheet", "aria-labelledby": "places-title" },
    h(
      "div",
      { class: "sheet-head" },
      h("h2", { id: "places-title" }, "Where to read"),
      button("Close", () => node.close(), { class: "quiet" }),
    ),
    body,
  );
  const open = (pool: Pool, readings: readonly Reading[], near: Spot | null): void => {
    const volts = latestVolts(readings);
    const cell = (place: Spot): HTMLElement => {
      const value = volts(place);
      const label = value === null ? place.point : `${place.point} ${voltsWords(value)}`;
      const choose = (): void => {
        node.close();
        onChoose(place);
      };
      return button(label, choose, {
        class: value === null ? "place" : "place read",
        "aria-label": `${circuitTitle(place, ", ")}, ${label}`,
      });
    };
    const row = (circuit: Circuit): HTMLElement =>
      h(
        "section",
        { class: "place-row", "data-here": near !== null && sameCircuit(circuit, near) },
        h("h3", {}, circuitTitle(circuit)),
        h(
          "div",
          { class: "place-cells" },
          ...circuit.path.map(({ point }) => cell({ ...circuitName(circuit), point })),
        ),
      );
    refill(body, ...pool.circuits.map(row));
    node.showModal();
    body.querySelector("[data-here]")?.scrollIntoView({ block: "center" });
  };
  return { node, open };
}
