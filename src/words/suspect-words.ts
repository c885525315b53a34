import type {
  ConnectorFinding,
  Estimate,
  Evidence,
  Failing,
  WantedReading,
} from "../domain/findings.ts";

import { type FigureWords, isCalledOpen } from "./figure-words.ts";
import type { PlaceWords } from "./place-words.ts";

/** What a suspect's readings say, chosen for telling. */
export interface ToldSuspect {
  readonly found: ConnectorFinding;
  readonly speakFor: readonly Evidence[];
  readonly against: readonly Evidence[];
}

/** Suspects, by themselves and as lists. */
export interface SuspectWords {
  /** The headline where no circuit was read. */
  readonly nothingRead: string;
  /** Where no connector is more likely faulty than sound: the likeliest. */
  readonly none: (lead: ConnectorFinding) => string;
  readonly one: (only: ConnectorFinding) => string;
  readonly several: (suspects: readonly ConnectorFinding[]) => string;
  /** How a contact fails, in a table. What is then done `decide` says, by the season and by prices. */
  readonly ways: Readonly<Record<Failing, string>>;
  /** Where no current passes a break is looked for first, whatever the prices. */
  readonly look: string;
  /** Who says what is then done. */
  readonly decides: string;
  /** Heads of the short table: where, what is there, what it takes, how sure. */
  readonly actHeads: readonly [string, string, string, string];
  /** The same as a line, where names are too long for a table. */
  readonly actLine: (where: string, act: string, drops: string, sure: string) => string;
  /** `lane 3 plate connector or the harness: read lane 3 button-1 at the plate to tell.` */
  readonly toTell: (suspect: ConnectorFinding, wanted: WantedReading) => string;
  /** Title of the whole list. */
  readonly title: string;
  /** Its heads: number, connector, chance, resistance, volts. */
  readonly heads: readonly [string, string, string, string, string];
  /** `104 Ω (99 to 109)`; `open` where all of it is. */
  readonly interval: (ohms: Estimate) => string;
  /** How a contact fails, for a technician. */
  readonly failings: Readonly<Record<Failing, string>>;
  /** In plain words: what speaks for it, what against, what would tell more, what suffers. */
  readonly inWords: (told: ToldSuspect) => string;
  /** How many connectors are under this chance, where others are over it. */
  readonly others: (count: number, chance: number) => string;
  /** None of so many is suspect. */
  readonly noneOf: (count: number, chance: number) => string;
}

/** How one's contact fails, the likeliest first, each with its chance. */
export const failsTold = (
  { fails }: ConnectorFinding,
  failings: SuspectWords["failings"],
  { percent }: FigureWords,
): string =>
  fails.map(({ how, probability }) => `${failings[how]} ${percent(probability)}`).join(", ");

/** Each suspect with what it takes, in their order. */
export const dropsTold = (
  suspects: readonly ConnectorFinding[],
  { connector }: PlaceWords,
  { volts }: FigureWords,
): string => suspects.map((one) => `${connector(one)} (${volts(one.voltsLost)})`).join(", ");

/** A median with its interval; `open` where all of it is. */
export const intervalTold = (
  { median, low, high }: Estimate,
  to: string,
  { ohms, ohmsFigures }: FigureWords,
): string =>
  isCalledOpen(low)
    ? ohms(low)
    : `${ohms(median)} (${ohmsFigures(low)} ${to} ${ohmsFigures(high)})`;
