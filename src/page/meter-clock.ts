import type { Meter } from "../domain/pool.ts";
import { button, h, refill } from "./element.ts";

/** Meters that stay on longer than this are not counted down [s]. */
const longOn = 3600;

/** Counts down to the moment from which the meter may have switched itself off. */
export class MeterClock {
  readonly node: HTMLElement;
  /** It was switched on since the last reading: that reading says so. */
  justOn = false;
  readonly #words: HTMLElement;
  readonly #left: HTMLElement;
  readonly #bar: HTMLElement;
  #meter: Meter | null = null;
  #since: number | null = null;
  #said = "";

  constructor() {
    this.#words = h("p", { class: "clock-words", role: "status" });
    this.#left = h("span", { class: "clock-left", "aria-hidden": "true" });
    this.#bar = h("span", { class: "clock-rest", "aria-hidden": "true" });
    this.node = h(
      "div",
      { class: "clock" },
      button("Meter switched on", () => this.switchOn(), { class: "quiet" }),
      h("div", { class: "clock-face" }, this.#left, this.#words),
      this.#bar,
    );
    setInterval(() => this.#tick(), 500);
  }

  /** Which meter is in hand. Another meter starts from nothing. */
  use(meter: Meter | null): void {
    if (meter?.name === this.#meter?.name) {
      this.#meter = meter;
    } else {
      this.#meter = meter;
      this.#since = null;
    }
    this.node.hidden =
      meter?.offAfter == null || meter.offAfter[0] > longOn || meter.offAfter[1] === 0;
    this.#tick();
  }

  switchOn(): void {
    this.#since = performance.now();
    this.justOn = true;
    this.#tick();
  }

  /** The meter may be off now, as far as anybody told. */
  get mayBeOff(): boolean {
    return this.#meter?.offAfter != null && this.#seconds() >= this.#meter.offAfter[0];
  }

  #seconds(): number {
    return this.#since === null ? 0 : (performance.now() - this.#since) / 1000;
  }

  #tick(): void {
    if (this.#meter?.offAfter == null || this.node.hidden) return;
    const [earliest, latest] = this.#meter.offAfter;
    const left = Math.max(0, Math.ceil(earliest - this.#seconds()));
    const running = this.#since !== null && left > 0;
    this.node.classList.toggle("over", this.#since !== null && left === 0);
    refill(this.#left, running ? `${left} s` : "");
    this.#bar.style.width = running ? `${Math.round((100 * left) / Math.max(earliest, 1))}%` : "0";
    const words =
      this.#since === null
        ? `This meter switches itself off after ${earliest} to ${latest} s. Tap when you switch it on.`
        : running
          ? "left before the meter may be off"
          : "The meter may be off now: a blank is not 0 V. Switch it on again and tap.";
    // A status is read aloud when it changes; seconds would be noise.
    if (words !== this.#said) refill(this.#words, words);
    this.#said = words;
  }
}
