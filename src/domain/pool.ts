import type { Costs } from "./costs.ts";
import type { MeetSettings } from "./meet.ts";
import type { Ohms, Volts } from "./units.ts";

/** A lane's name as the facility writes it: a number for most, a word where it uses words. */
export type Lane = number | string;

/** Who passes through one connector: every circuit, every circuit of a lane, or one device. */
export type Sharing = "pool" | "lane" | "device";

/** One step of the path, from the timer out: a wire segment, then a mated connector. */
export interface ChainLink {
  /** Where the meter is put on, just after the connector. Unique in the chain. */
  readonly point: string;
  /** What people call the connector. */
  readonly connector: string;
  readonly sharedBy: Sharing;
  /** Copper of the segment before the connector, out and back [Ω]. */
  readonly wireOhms: Ohms;
  /** P(body is contaminated); 0 where `sharedBy` is `device`, which has no body state. */
  readonly contaminated: number;
  /** P(a contact is fouled | clean body). */
  readonly fouled: number;
  /** P(a contact is fouled | contaminated body). */
  readonly fouledIfContaminated: number;
}

/** A log-normal resistance: `ln r ~ Normal(ln medianOhms, logSd)`. */
export interface LogNormal {
  readonly medianOhms: Ohms;
  readonly logSd: number;
}

/** A handheld voltmeter. */
export interface Meter {
  readonly name: string;
  /** Load resistance [Ω]; null where nobody knows it: resistances are then in units of the load. */
  readonly loadOhms: Ohms | null;
  /** Display step [V]; null: the finest step that occurs in this meter's readings. */
  readonly resolution: Volts | null;
  /** Standard deviation of one reading before rounding [V]. */
  readonly noise: Volts;
  /** The meter switches itself off this long after it was switched on: earliest and latest [s]. */
  readonly offAfter: readonly [earliest: number, latest: number];
}

/** Thresholds of the timer's own input [V]. */
export interface TimerInput {
  /** A touch registers while the input is at or under this. */
  readonly lowMax: Volts;
  /** The line counts as at rest while the input is at or over this. */
  readonly highMin: Volts;
}

/** The load that stands in for one that nobody knows: resistances are then multiples of it [Ω]. */
export const UNIT_LOAD = 1000;

/** A facility as the pool file describes it, every default filled in. */
export interface Pool {
  readonly name: string;
  readonly lanes: readonly Lane[];
  /** The first is the default of a sheet without a device column. */
  readonly devices: readonly string[];
  readonly supply: {
    /** Nominal EMF, the mean of its prior [V]. */
    readonly emf: Volts;
    /** Standard deviation of the EMF's prior, one value a walk [V]. */
    readonly emfSd: Volts;
    /** Source resistance inside the timer [Ω]. */
    readonly sourceOhms: Ohms;
  };
  /** The first is the default of a sheet without a meter column. */
  readonly meters: readonly Meter[];
  readonly chain: readonly ChainLink[];
  readonly contact: { readonly sound: LogNormal; readonly fouled: LogNormal };
  /** P(a value was misread or mistyped). */
  readonly misread: number;
  /** The facility's own limit at the last point [V]. */
  readonly limitVolts: Volts;
  readonly timerInput: TimerInput | null;
  /** What money and time are reckoned with; absent: `defaultCosts` of the chain. */
  readonly costs?: Costs;
  /** What the facility decides about its deck day; absent: `meetDefaults`. */
  readonly meet?: MeetSettings;
}

/** One lane's one device. */
export interface Circuit {
  readonly lane: Lane;
  readonly device: string;
}
