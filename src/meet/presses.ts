import { type MeetSettings, meetSettings } from "../domain/meet.ts";
import { type CircuitName, circuitOf, sameCircuit, servedBy } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import type { TouchCheck, TouchKind } from "../domain/touch.ts";
import type { WorkEntry } from "../domain/work.ts";
import type { Beta } from "../numerics/beta.ts";
import { daysBetween } from "./days-between.ts";
import { type Blame, blameOf, falseRates, missedRates } from "./touch-blame.ts";
import type { RateState } from "./touch-proof.ts";
import { type TouchRate, touchRate } from "./touch-rate.ts";
import { faultySince, type PressPart, touchStates } from "./touch-states.ts";

/** Presses of one kind on one device, with what they say. */
export interface Presses {
  /** Since something is at fault, where the presses show that it once was not; else all of them. */
  readonly tried: number;
  /** Fingertip presses that did not register, or open-hand pushes that did. */
  readonly events: number;
  /** The session from which on they are counted; null: all of them are. */
  readonly since: { readonly day: string | null; readonly heat: string | null } | null;
  /** Day of the latest of them; null where none is dated. */
  readonly latest: string | null;
  /** Who made the latest day's, each once; empty where nobody wrote it down. */
  readonly by: readonly string[];
  readonly rate: TouchRate;
  readonly blame: Blame;
}

/** Presses, and what may be behind them, each with its rate: so it is foreseen how pressing on goes. */
export interface WeighedPresses {
  readonly presses: Presses;
  readonly states: readonly RateState[];
}

/** What the facility decided, or the defaults. */

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
export function weighPresses(
  kind: TouchKind,
  circuit: CircuitName,
  pathPrior: number,
  checks: Checks,
): WeighedPresses | null {
  const settings = meetSettings(checks.pool);
  const own = (checks.touches ?? []).filter(
    (touch) =>
      sameCircuit(touch, circuit) &&
      touch.kind === kind &&
      stillCounts(touch, circuit, checks, settings.walkDays),
  );
  if (own.length === 0) return null;
  const sessions = sessionsOf(own);
  const parts = own.map((touch): PressPart => {
    const { place, tried, registered } = touch;
    const events = kind === "fingertip" ? tried - registered : registered;
    return { session: sessions.indexOf(sessionKey(touch)), place, events, tried };
  });
  const rates = kind === "fingertip" ? missedRates : falseRates;
  const states = touchStates(parts, pathPrior, settings.touch.padAtFault, rates);
  const since = faultySince(states);
  const counted = parts.filter(({ session }) => session >= since);
  const tried = counted.reduce((sum, part) => sum + part.tried, 0);
  const events = counted.reduce((sum, part) => sum + part.events, 0);
  const first = own.find((touch) => sessionKey(touch) === sessions[since]);
  const presses: Presses = {
    ...{ tried, events },
    since: since === 0 ? null : { day: first?.takenAt?.day ?? null, heat: first?.heat ?? null },
    ...latestOf(own),
    rate: touchRate(events, tried, ratePrior(settings)),
    blame: blameOf(states),
  };
  return { presses, states };
}

/** The latest day of some presses, and who pressed then. */
function latestOf(touches: readonly TouchCheck[]): Pick<Presses, "latest" | "by"> {
  const days = touches.flatMap(({ takenAt }) => takenAt?.day ?? []).sort();
  const latest = days.at(-1) ?? null;
  const then = touches.filter(({ takenAt }) => (takenAt?.day ?? null) === latest);
  return { latest, by: [...new Set(then.flatMap(({ by }) => by ?? []))] };
}

/** Presses belong together by their day and heat. */
const sessionKey = ({ takenAt, heat }: TouchCheck): string =>
  JSON.stringify([takenAt?.day ?? "", heat ?? ""]);

/** The sessions in the order of time; what has no day comes first, what has no hour as it is written. */
function sessionsOf(touches: readonly TouchCheck[]): readonly string[] {
  const when = ({ takenAt }: TouchCheck): string => takenAt?.day ?? "";
  const second = ({ takenAt }: TouchCheck): number => takenAt?.seconds ?? 0;
  const inOrder = touches.toSorted(
    (a, b) => when(a).localeCompare(when(b)) || second(a) - second(b) || a.line - b.line,
  );
  return [...new Set(inOrder.map(sessionKey))];
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
