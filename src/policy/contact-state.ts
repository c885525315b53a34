import type { ContactFinding } from "../domain/findings.ts";
import { filmPart, type Pool } from "../domain/pool.ts";
import { fouledSpread, type Spread } from "../history/fouled-spread.ts";

/** What is known of a contact's resistance now: its states, as the diagnosis has them. */
export interface ContactState {
  readonly sound: number;
  readonly fouled: number;
  readonly open: number;
  /** ln ohms if sound. */
  readonly soundLog: Spread;
  /** ln ohms if fouled. */
  readonly fouledLog: Spread;
}

/** The states of a finding; one that comes and goes counts as open: at its bad moments it is. */
export function contactState(finding: ContactFinding, contact: Pool["contact"]): ContactState {
  const { sound, fouled, open, intermittent, ohms } = finding;
  return {
    sound,
    fouled,
    open: open + intermittent,
    soundLog: { mean: Math.log(contact.sound.medianOhms), sd: contact.sound.logSd },
    fouledLog: fouledSpread({ sound, fouled, intermittent, ohms }, filmPart(contact)),
  };
}
