import type { Pool } from "../domain/pool.ts";
import type { Reading } from "../domain/reading.ts";
import { button, h, refill } from "./element.ts";
import { voltsWords } from "./numbers.ts";
import type { Place } from "./proposals.ts";

/** The latest value of each place, for the buttons to show. */
export function latestVolts(readings: readonly Reading[]): (place: Place) => number | null {
  const latest = new Map<string, number>();
  const key = ({ lane, device, point }: Place): string => JSON.stringify([lane, device, point]);
  for (const reading of readings) latest.set(key(reading), reading.volts);
  return (place) => latest.get(key(place)) ?? null;
}

/** All points of all circuits, one tap each: the second of the two taps to any other place. */
export function placePicker(onChoose: (place: Place) => void): {
  readonly node: HTMLDialogElement;
  open(pool: Pool, readings: readonly Reading[], near: Place | null): void;
} {
  const body = h("div", { class: "places" });
  const node = h(
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
  const open = (pool: Pool, readings: readonly Reading[], near: Place | null): void => {
    const volts = latestVolts(readings);
    const cell = (place: Place): HTMLElement => {
      const value = volts(place);
      const label = value === null ? place.point : `${place.point} ${voltsWords(value)}`;
      const choose = (): void => {
        node.close();
        onChoose(place);
      };
      return button(label, choose, {
        class: value === null ? "place" : "place read",
        "aria-label": `Lane ${place.lane}, ${place.device}, ${label}`,
      });
    };
    const lane = (name: Pool["lanes"][number], device: string): HTMLElement =>
      h(
        "section",
        { class: "place-row", "data-here": name === near?.lane && device === near.device },
        h("h3", {}, `Lane ${name} · ${device}`),
        h(
          "div",
          { class: "place-cells" },
          ...pool.chain.toReversed().map((link) => cell({ lane: name, device, point: link.point })),
        ),
      );
    refill(body, ...pool.lanes.flatMap((name) => pool.devices.map((device) => lane(name, device))));
    node.showModal();
    body.querySelector("[data-here]")?.scrollIntoView({ block: "center" });
  };
  return { node, open };
}
