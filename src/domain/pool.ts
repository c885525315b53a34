import type {
  Circuit,
  Connector,
  ConnectorClass,
  ContactPriors,
  Sharing,
  Supply,
} from "./circuit.ts";
import type { Costs } from "./costs.ts";
import type { MeetSettings } from "./meet.ts";
import type { ModelTerms } from "./model-terms.ts";
import type { Lane } from "./place.ts";
import type { Ohms, Volts } from "./units.ts";

/**
 * One link of the pool file: a rule that says what connector stands where and for whom. Which
 * circuits pass it is worked out in `lay-circuits.ts`; a circuit's own chain is its `path`.
 */
export interface Link {
  /** Where the meter is put on, just behind the connector. Two links may share a point's name. */
  readonly point: string;
  /** What people call the connector. */
  readonly connector: string;
  readonly class: ConnectorClass;
  readonly sharedBy: Sharing;
  /** Copper of the stretch before the connector, out and back [Ω]. */
  readonly wireOhms: Ohms;
  readonly priors: ContactPriors;
  readonly wet: boolean;
}

/** A log-normal resistance: `ln r ~ Normal(ln medianOhms, logSd)`. */
export interface LogNormal {
  readonly medianOhms: Ohms;
  /** Standard deviation of ln ohms [ln ohm; over 0]. */
  readonly logSd: number;
}

/** One part of a mixture of log-normals; the shares of a mixture add to 1. */
export interface MixturePart extends LogNormal {
  /** Its part of the mixture [share; over 0 to 1]. */
  readonly share: number;
}

/** The part of a fouled contact that a meter sees: the first, a film in series [Ω]. */
export const filmPart = (contact: { readonly fouled: readonly MixturePart[] }): LogNormal =>
  contact.fouled[0]!;

/** A handheld voltmeter. */
export interface Meter {
  readonly name: string;
  /** Load resistance [Ω]; null where nobody knows it. */
  readonly loadOhms: Ohms | null;
  /** Display step [V]; null: the finest step that occurs in this meter's readings. */
  readonly resolution: Volts | null;
  /** Standard deviation of one reading before rounding [V]. */
  readonly noise: Volts;
  /**
   * The meter switches itself off this long after it was switched on: earliest and latest [s]; null
   * where nobody knows.
   */
  readonly offAfter: readonly [earliest: number, latest: number] | null;
}

/** Thresholds of the timer's own input [V]. */
export interface TimerInput {
  /** A touch registers while the input is at or under this. */
  readonly lowMax: Volts;
  /** The line counts as at rest while the input is at or over this. */
  readonly highMin: Volts;
}

/** The facility's limit of a whole path: in ohms, or in volts at the last point on one meter. */
export type Limit = { readonly volts: Volts; readonly meter: string } | { readonly ohms: Ohms };

/** What a lane needs to have its timing in a meet. */
export interface LaneNeeds {
  readonly first: string;
  /** Devices that stand in for the first, all alike. */
  readonly fallBack: readonly string[];
  /** So many of them, the first counted in, must work [devices; whole, 1 or more]. */
  readonly atLeast: number;
}

/** The load that stands in for one that nobody knows: resistances are then multiples of it [Ω]. */
export const UNIT_LOAD = 1000;

/** A facility as the pool file describes it, every default filled in. */
export interface Pool {
  readonly name: string;
  /** In the pool's order: the order of rounds, sheets and charts. */
  readonly lanes: readonly Lane[];
  /** Names of a lane's ends; empty where the file names none. */
  readonly ends: readonly string[];
  /** Every device's name, once, in the file's order. */
  readonly devices: readonly string[];
  readonly supplies: readonly Supply[];
  /** The first is the default of a sheet without a meter column. */
  readonly meters: readonly Meter[];
  /** The rules of the file, in order from the timer out. No circuit need pass all of them. */
  readonly links: readonly Link[];
  /** Every point's name, once, from the timer out. */
  readonly points: readonly string[];
  /** Lane by lane in the pool's order, those of no lane last. */
  readonly circuits: readonly Circuit[];
  readonly connectors: readonly Connector[];
  readonly contact: { readonly sound: LogNormal; readonly fouled: readonly MixturePart[] };
  readonly model: ModelTerms;
  readonly limit: Limit;
  readonly timerInput: TimerInput | null;
  /** Null: every lane needs what `lane-needs.ts` takes where nobody says. */
  readonly laneNeeds: LaneNeeds | null;
  /** What money and time are reckoned with; absent: `defaultCosts` of the links. */
  readonly costs?: Costs;
  /** What the facility decides about its deck day; absent: `meetDefaults`. */
  readonly meet?: MeetSettings;
}
