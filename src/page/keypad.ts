import { button, h, refill, s } from "./element.ts";
import { decimalMark } from "./numbers.ts";

/** What the keys do. */
export interface KeypadActs {
  readonly digit: (text: string) => void;
  readonly erase: () => void;
  readonly store: () => void;
  readonly moved: () => void;
  readonly cannotReach: () => void;
  readonly meterOn: () => void;
}

/** The page's own keys, in the lower half where the thumb is: no keyboard pops up over the place. */
export class Keypad {
  readonly node: HTMLElement;
  readonly #moved: HTMLButtonElement;
  readonly #meter: HTMLButtonElement;
  #meterSaid = "";

  constructor(acts: KeypadActs) {
    const digit = (text: string): HTMLButtonElement =>
      button(text, () => acts.digit(text), { class: "key" });
    const side = (label: string, press: () => void, kind: string): HTMLButtonElement =>
      button(label, press, { class: `key side ${kind}` });
    this.#moved = side("Cord moved", acts.moved, "moved");
    this.#meter = side("Meter on", acts.meterOn, "meter");
    this.#moved.setAttribute("aria-pressed", "false");
    const erase = button("", acts.erase, { class: "key erase", "aria-label": "Erase" });
    erase.append(
      s(
        "svg",
        { viewBox: "0 0 32 20", "aria-hidden": "true" },
        s("path", { d: "M10 2h20v16H10L2 10zM15 6l8 8M23 6l-8 8" }),
      ),
    );
    this.node = h(
      "div",
      { class: "keypad", role: "group", "aria-label": "Keypad" },
      ...["1", "2", "3"].map(digit),
      this.#meter,
      ...["4", "5", "6"].map(digit),
      this.#moved,
      ...["7", "8", "9"].map(digit),
      side("Can’t reach", acts.cannotReach, "reach"),
      button(decimalMark, () => acts.digit(decimalMark), {
        class: "key",
        "aria-label": "decimal mark",
      }),
      digit("0"),
      erase,
      h("button", { type: "submit", class: "key side store", on: { click: acts.store } }, "Store"),
    );
  }

  /** The next value is read while the plug or its cord is moved. */
  set moved(on: boolean) {
    this.#moved.setAttribute("aria-pressed", on ? "true" : "false");
  }

  /** What the meter's key says: nothing to press for, seconds left, or that it may be off. */
  meter(
    face: { readonly label: string; readonly spoken: string; readonly over: boolean } | null,
  ): void {
    this.#meter.hidden = face === null;
    this.node.classList.toggle("no-meter", face === null);
    if (face === null) return;
    if (face.label !== this.#meterSaid) refill(this.#meter, face.label);
    this.#meterSaid = face.label;
    this.#meter.setAttribute("aria-label", face.spoken);
    this.#meter.classList.toggle("over", face.over);
  }
}
