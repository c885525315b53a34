import { seriesOhmsFromReading } from "../circuit/divider.ts";
import type { ConnectorCosts } from "../domain/costs.ts";
import { ohms, volts } from "../domain/units.ts";
import type { ConnectorPlace } from "../policy/decision.ts";
import type { WorkSince } from "../policy/work-since.ts";

/** Mean and standard deviation of something uncertain. */
export interface Spread {
  readonly mean: number;
  readonly sd: number;
}

/** P(a cleaning brings the reading back) ~ Beta(alpha, beta), prior and record together. */
export interface CureRecord {
  readonly alpha: number;
  readonly beta: number;
}

/** What is known of the worst contact's resistance now: three states, as the diagnosis has them. */
export interface ContactState {
  readonly sound: number;
  readonly fouled: number;
  readonly open: number;
  /** ln ohms if sound. */
  readonly soundLog: Spread;
  /** ln ohms if fouled. */
  readonly fouledLog: Spread;
}

/** The circuit around the contact, all else on it sound: from ohms to the last point's volts. */
export interface PathAround {
  /** [V] */
  readonly emf: number;
  /** Load of the meter that reads it [Ω]. */
  readonly loadOhms: number;
  /** Inside the timer [Ω]. */
  readonly sourceOhms: number;
  /** Wire and the other contacts [Ω]. */
  readonly restOhms: number;
}

/** Everything that a decision about one connector starts from. */
export interface ConnectorCase {
  readonly place: ConnectorPlace;
  readonly atFault: number;
  readonly state: ContactState;
  /** Growth of this contact's ln ohms since its last cleaning [per week]. */
  readonly growth: Spread;
  /** The same for a new connector of its kind [per week]. */
  readonly likeGrowth: Spread;
  /** Where a cleaning that works brings it [Ω]. */
  readonly floorOhms: number;
  /** Rise of ln floor, which cleaning cannot cure [per year]. */
  readonly creepPerYear: number;
  /** A new contact [Ω]. */
  readonly newOhms: number;
  readonly cure: CureRecord;
  /** The same of connectors of its kind: what a new one is expected to do. */
  readonly likeCure: CureRecord;
  /** Contact resistance at which the path reads low (the pool's limit or the timer's margin) [Ω]. */
  readonly lowOhms: number;
  /** Spread of ln ohms from one meet to the next: a plug shaken, a drop of water. */
  readonly scatterLogSd: number;
  /** P(a path that reads low loses its lane in a meet); an open path always does. */
  readonly lossChance: number;
  /** What a meet loses while the paths that it takes are out, in lost lanes. */
  readonly lanes: number;
  /** Keys of the circuits whose paths it takes with it. */
  readonly takes: ReadonlySet<string>;
  readonly path: PathAround;
  readonly costs: ConnectorCosts;
  /** Age of what is installed [years]. */
  readonly ageYears: number;
  readonly weeksHeld: readonly { readonly weeks: number; readonly atLeast: boolean }[];
  readonly stillLowAfterCleaning: boolean;
  /** Work logged after the walk: its reading is then no longer the connector's. */
  readonly workSince: WorkSince | null;
}

/** Contact resistance behind a reading of the last point, all else on the path sound [Ω]. */
export const contactBehind = (path: PathAround, reading: number): number =>
  seriesOhmsFromReading(
    volts(path.emf),
    ohms(path.loadOhms),
    ohms(path.sourceOhms),
    volts(reading),
  ) - path.restOhms;
