import type { Meter } from "../domain/pool.ts";

/** Meters that stay on longer than this are not counted down [s]. */
const longOn = 3600;

/** What the meter's key shows. */
export interface MeterFace {
  readonly label: string;
  readonly spoken: string;
  readonly over: boolean;
}

const key = "dropwise-meter-on";

/**
 * Counts down to the moment from which the meter may have switched itself off. A meter that must have
 * gone off was switched on again by whoever reads a value on it: nobody needs to say so.
 */
export class MeterClock {
  readonly #show: (face: MeterFace | null) => void;
  /** It was switched on since the last reading: that reading says so. */
  #justOn = false;
  #meter: Meter | null = null;
  /** When it was switched on [ms since 1970]; null where nobody knows. */
  #since: number | null = null;

  constructor(show: (face: MeterFace | null) => void) {
    this.#show = show;
    try {
      const kept = Number(sessionStorage.getItem(key));
      if (kept > 0) this.#since = kept;
    } catch {
      // Then the first reading after a reload starts the count.
    }
    setInterval(() => this.#tick(), 500);
  }

  /** Which meter is in hand. Another meter starts from nothing. */
  use(meter: Meter | null): void {
    if (this.#meter !== null && meter?.name !== this.#meter.name) this.#since = null;
    this.#meter = meter;
    this.#tick();
  }

  switchOn(): void {
    this.#start();
    this.#tick();
  }

  /** A value is being written: a meter that must have been off was switched on for it. */
  writing(): void {
    const latest = this.#window?.[1];
    if (latest !== undefined && (this.#since === null || this.#seconds() >= latest)) this.#start();
  }

  #start(): void {
    this.#since = Date.now();
    this.#justOn = true;
    try {
      sessionStorage.setItem(key, String(this.#since));
    } catch {
      // Then a reload forgets it.
    }
  }

  /** The next reading is the first after switching on. */
  get justOn(): boolean {
    return this.#justOn;
  }

  /** That reading is on disk. */
  stored(): void {
    this.#justOn = false;
  }

  /** The meter may be off now, as far as anybody told. */
  get mayBeOff(): boolean {
    const earliest = this.#window?.[0];
    return earliest !== undefined && this.#since !== null && this.#seconds() >= earliest;
  }

  get #window(): readonly [number, number] | null {
    const off = this.#meter?.offAfter ?? null;
    return off === null || off[0] > longOn || off[1] === 0 ? null : off;
  }

  #seconds(): number {
    return this.#since === null ? 0 : (Date.now() - this.#since) / 1000;
  }

  #tick(): void {
    const off = this.#window;
    if (off === null) this.#show(null);
    else this.#show(this.#face(off));
  }

  #face(off: readonly [number, number]): MeterFace {
    const left = Math.max(0, Math.ceil(off[0] - this.#seconds()));
    if (this.#since === null)
      return { label: "Meter on", spoken: "Meter on: tap when you switch it on", over: false };
    const over = left === 0;
    const label = over ? "Meter off?" : `Meter ${left} s`;
    const spoken = over
      ? `${label} It may be off now, and a blank is not 0 volts: tap when it is on again`
      : `${label} before it may be off: tap when you switch it on`;
    return { label, spoken, over };
  }
}
