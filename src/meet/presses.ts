import { type MeetSettings, meetDefaults } from "../domain/meet.ts";
import { type CircuitName, circuitOf, sameCircuit, servedBy } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import type { TouchCheck, TouchKind } from "../domain/touch.ts";
import type { WorkEntry } from "../domain/work.ts";
import type { Beta } from "../numerics/beta.ts";
import { daysBetween } from "./days-between.ts";
import { type Blame, falseRates, missedRates, touchBlame } from "./touch-blame.ts";
import { type TouchRate, touchRate } from "./touch-rate.ts";

/** Presses of one kind on one device, with what they say. */
export interface Presses {
  readonly tried: number;
  /** Fingertip presses that did not register, or open-hand pushes that did. */
  readonly events: number;
  readonly rate: TouchRate;
  readonly blame: Blame;
}

/** What the facility decided, or the defaults. */
export const settingsOf = (pool: Pool): MeetSettings => pool.meet ?? meetDefaults;

/** The prior of a rate as shapes. */
export const ratePrior = ({ touch }: MeetSettings): Beta => ({
  a: touch.prior[0],
  b: touch.prior[1],
});

/** What is needed to tell which presses still say something. */
interface Checks {
  readonly pool: Pool;
  readonly date: string | null;
  readonly work: readonly WorkEntry[];
  readonly touches: readonly TouchCheck[] | null;
}

/** All presses of one kind on one device that still count; null where there are none. */
export function presses(
  kind: TouchKind,
  circuit: CircuitName,
  pathPrior: number,
  checks: Checks,
): Presses | null {
  const settings = settingsOf(checks.pool);
  const own = (checks.touches ?? []).filter(
    (touch) =>
      sameCircuit(touch, circuit) &&
      touch.kind === kind &&
      stillCounts(touch, circuit, checks, settings.walkDays),
  );
  const tried = own.reduce((sum, t) => sum + t.tried, 0);
  if (tried === 0) return null;
  const registered = own.reduce((sum, t) => sum + t.registered, 0);
  const events = kind === "fingertip" ? tried - registered : registered;
  const rates = kind === "fingertip" ? missedRates : falseRates;
  return {
    tried,
    events,
    rate: touchRate(events, tried, ratePrior(settings)),
    blame: touchBlame({ events, tried }, pathPrior, settings.touch.padAtFault, rates),
  };
}

/**
 * For a meet, presses count that are no older than a walk may be, and that nobody has worked on the
 * path since: what a pad missed before its plug was replaced is no longer held against it. Presses
 * without a date count always.
 */
function stillCounts(
  { takenAt }: TouchCheck,
  circuit: CircuitName,
  { pool, date, work }: Checks,
  mostDays: number,
): boolean {
  if (date === null || takenAt === null) return true;
  const age = daysBetween(takenAt.day, date);
  if (age !== null && (age < 0 || age > mostDays)) return false;
  return !work.some(
    ({ doneAt, ...entry }) =>
      servedBy(pool, entry).includes(circuitOf(pool, circuit)!) &&
      doneAt.day <= date &&
      (doneAt.day > takenAt.day ||
        (doneAt.day === takenAt.day && (doneAt.seconds ?? 0) > (takenAt.seconds ?? 0))),
  );
}
