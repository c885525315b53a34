import { costsOf } from "../domain/costs.ts";
import { needsOf } from "../domain/lane-needs.ts";
import { meetSettings } from "../domain/meet.ts";
import { isAtLane, isOfLane } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import type { TouchCheck } from "../domain/touch.ts";
import type { WorkEntry } from "../domain/work.ts";
import type { CleaningRecord } from "../history/cleaning-record.ts";
import { type Bag, packBag } from "./bag.ts";
import { daysBetween } from "./days-between.ts";
import { type DeviceState, deviceState } from "./device-state.ts";
import { type FixPlan, fixOrder } from "./fix-order.ts";
import { type Decided, lanesToFix, type NamedFix } from "./lane-fixes.ts";
import { isPad, type LaneReady, laneReady } from "./lane-ready.ts";
import { type Look, latestConnectors } from "./latest-look.ts";
import type { PadsDue } from "./pads-due.ts";
import { plugShare, possibleRepairs, switchesOf } from "./possible-repairs.ts";

/** Everything that a meet morning is judged from. */
export interface MeetInput {
  readonly pool: Pool;
  /** Day of the meet, `YYYY-MM-DD`. */
  readonly date: string;
  /** Diagnosed walks up to that day, in the order of time; empty where nobody walked. */
  readonly looks: readonly Look[];
  readonly work: readonly WorkEntry[];
  /** Null where the facility keeps none. */
  readonly touches: readonly TouchCheck[] | null;
  /** Null where the facility keeps no log of water. */
  readonly pads: PadsDue | null;
  /** What cleanings have done so far; null where there is no history. */
  readonly record: CleaningRecord | null;
  /** What is decided about the newest walk's suspects; absent: what is at fault is cleaned. */
  readonly decided?: readonly Decided[];
  /** Minutes left to put things right; null: as many as it takes. */
  readonly minutesLeft: number | null;
}

/** The whole morning. */
export interface MeetReady {
  readonly pool: string;
  readonly date: string;
  /** The newest walk, and how many days before the meet it was. */
  readonly walk: string | null;
  readonly walkAgeDays: number | null;
  readonly lanes: readonly LaneReady[];
  /** How many lanes have each verdict [whole]. */
  readonly counts: Readonly<Record<LaneReady["verdict"], number>>;
  readonly fixes: readonly NamedFix[];
  readonly plan: FixPlan;
  readonly minutesLeft: number | null;
  readonly bag: Bag;
  readonly pads: PadsDue | null;
  /** False where the verdict rests on the path alone, because no touch check was given. */
  readonly touchesKnown: boolean;
}

/** Lane by lane ready, watch or not ready; what to put right; what to carry. */
export function meetReady(input: MeetInput): MeetReady {
  const { pool, date, looks } = input;
  const settings = meetSettings(pool);
  const newest = looks.at(-1);
  const states = switchesOf(pool).map((one) => deviceState(one, input));
  const padsAreDue = input.pads?.state === "due" || input.pads?.state === "never adjusted";
  const lanes = [
    ...pool.lanes.flatMap((lane) => {
      const own = states.filter((state) => isAtLane(state, lane));
      const needs = needsOf(pool, lane);
      return needs === null ? [] : [laneReady(needs, own, padsAreDue)];
    }),
    ...states
      .filter((state) => !isOfLane(state))
      .map((state) =>
        laneReady({ first: state.device, fallBack: [], atLeast: 1 }, [state], padsAreDue),
      ),
  ];
  const { fixes, needs } = lanesToFix(lanes, input, costsOf(pool));
  const plugs = states.filter(isPad).map((state) => plugShare * padChance(state, pool));
  const count = (verdict: LaneReady["verdict"]): number =>
    lanes.filter((lane) => lane.verdict === verdict).length;
  return {
    pool: pool.name,
    date,
    walk: newest?.diagnosis.walk ?? null,
    walkAgeDays: daysBetween(newest?.day ?? null, date),
    lanes,
    counts: { ready: count("ready"), watch: count("watch"), "not ready": count("not ready") },
    fixes,
    plan: fixOrder(fixes, needs, input.minutesLeft),
    minutesLeft: input.minutesLeft,
    bag: packBag(
      possibleRepairs(pool, latestConnectors(looks), input.record),
      plugs,
      settings.bagConfidence,
    ),
    pads: input.pads,
    touchesKnown: input.touches !== null,
  };
}

const padChance = (state: DeviceState, pool: Pool): number =>
  state.missed?.blame.padAtFault ?? meetSettings(pool).touch.padAtFault;
