import { type ConnectorFinding, isAccused, type WalkDiagnosis } from "../domain/findings.ts";
import { type CircuitName, lanesAlong, sameCircuit } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import type { Reading } from "../domain/reading.ts";
import { rowPlace } from "../report/log-text.ts";
import { circuitText } from "../report/names.ts";
import { sentence } from "../words/figure-words.ts";
import { voltsWords } from "./numbers.ts";
import type { Recheck } from "./walk-in-hand.ts";

/** The connectors to see to, in walking order: from the timer out along the lanes. */
export function toSeeTo(pool: Pool, walk: WalkDiagnosis): readonly ConnectorFinding[] {
  const order = (one: ConnectorFinding): number =>
    (one.lanes.length > 1 ? -1 : lanesAlong(pool.lanes, one)) * pool.points.length +
    pool.points.indexOf(one.point);
  return walk.connectors.filter(isAccused).toSorted((a, b) => order(a) - order(b));
}

/** What came of one work, as far as the readings after it say. */
export interface Outcome {
  readonly state: "open" | "fixed" | "weak" | "doubtful" | "read";
  readonly words: string;
}

/** `lane 3 plate`: where the work was done, as its line in the log says it. */
export const workPlace = ({ work }: Pick<Recheck, "work">): string => rowPlace(work.entered);

/**
 * Fixed, still weak, or not yet known; nothing for a work that no reading can follow. `walk` and
 * `readings` are of the walk where it was read again; without a diagnosis only the values are said.
 */
function outcomeOf(
  recheck: Recheck,
  walk: WalkDiagnosis | null,
  readings: readonly Reading[],
): Outcome | null {
  const { recheck: circuits, entered } = recheck.work;
  if (circuits.length === 0) return null;
  const place = workPlace(recheck);
  const done = entered.action ?? "seen to";
  if (recheck.open.length > 0) {
    const names = recheck.open.map(circuitText).join(", ");
    return { state: "open", words: `${place}, ${done}: read ${names} again.` };
  }
  const verdict = (name: CircuitName) =>
    walk?.circuits.find((one) => sameCircuit(one, name))?.verdict ?? null;
  const shown = (name: CircuitName): string => {
    const own = readings.filter((one) => sameCircuit(one, name));
    const last = own.at(-1);
    return last ? ` ${sentence(circuitText(name))} reads ${voltsWords(last.volts)}.` : "";
  };
  const values = circuits.map(shown).join("");
  if (walk === null) return { state: "read", words: `${place}, ${done}.${values}` };
  if (circuits.some((name) => verdict(name) === "weak")) {
    const next =
      done === "cleaned" || done === "reseated" ? "Replace it" : "Look at the next connector";
    return { state: "weak", words: `Still weak: ${place}. ${next}.${values}` };
  }
  if (circuits.every((name) => verdict(name) === "sound"))
    return { state: "fixed", words: `Fixed: ${place}.${values}` };
  return { state: "doubtful", words: `${place}, ${done}: not certain yet.${values}` };
}

/** Today's works, and what is known of the walks where they were read again. */
export interface Reread {
  readonly rechecks: readonly Recheck[];
  foundOf(walk: string | null): WalkDiagnosis | null;
  readingsOf(walk: string | null): readonly Reading[];
}

/** What came of today's works, each by the walk where it was read again. */
export const outcomesOf = (of: Reread): readonly Outcome[] =>
  of.rechecks.flatMap((one) => outcomeOf(one, of.foundOf(one.walk), of.readingsOf(one.walk)) ?? []);
