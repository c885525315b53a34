import type { WorkEntry } from "../../src/domain/work.ts";
import type { DatedWalk } from "../../src/history/contact-history.ts";
import type { TestPool as Pool } from "../plain-pool.ts";
import { findingOf, poolOf, random, walkOf, workOf } from "./synthetic.ts";

/** How an invented season is drawn. */
export interface SeasonPlan {
  readonly lanes: number;
  /** Mean growth of each point's contacts [ln ohm a week]. */
  readonly growth: Readonly<Record<string, number>>;
  readonly betweenContacts: number;
  readonly scatter: number;
  readonly meterError: number;
  readonly weeks: number;
}

/** A season with the truth behind it. */
export interface Season {
  readonly pool: Pool;
  readonly walks: readonly DatedWalk[];
  readonly work: readonly WorkEntry[];
  /** Day on which each lane's path really reaches the limit. */
  readonly crossing: ReadonlyMap<number, number>;
  readonly truths: ReadonlyMap<number, readonly TrueContact[]>;
}

interface TrueContact {
  readonly growth: number;
  readonly cleaned: number;
  readonly floors: readonly [number, number];
}

const ohmsAt = ({ growth, cleaned, floors }: TrueContact, week: number): number =>
  week < cleaned
    ? Math.exp(floors[0] + growth * week)
    : Math.exp(floors[1] + growth * (week - cleaned));

/** Weekly walks of one lane's path after another, every contact cleaned once in the first half. */
export function inventSeason(plan: SeasonPlan, seed: number): Season {
  const { uniform, normal } = random(seed);
  const points = Object.keys(plan.growth);
  const pool = poolOf(plan.lanes, points);
  const floor = (): number => Math.log(0.2) + 0.8 * normal();
  const truths = new Map<number, TrueContact[]>();
  const work: WorkEntry[] = [];
  for (let lane = 1; lane <= plan.lanes; lane++) {
    const contacts = points.map((point) => {
      const cleaned = 1 + Math.floor((uniform() * plan.weeks) / 2);
      work.push(workOf(7 * cleaned - 1, "cleaned", point, lane));
      const growth = plan.growth[point]! + plan.betweenContacts * normal();
      return { growth, cleaned: cleaned - 1 / 7, floors: [floor(), floor()] as const };
    });
    truths.set(lane, contacts);
  }
  const walks = Array.from({ length: plan.weeks }, (_, week) =>
    walkOf(
      7 * week,
      [...truths].flatMap(([lane, contacts]) =>
        contacts.map((contact, k) => {
          const ohms = ohmsAt(contact, week) * Math.exp(plan.scatter * normal());
          const where = { lane, device: "touchpad", point: points[k]! };
          return findingOf(pool, where, ohms + plan.meterError * normal(), plan.meterError);
        }),
      ),
      3 * plan.meterError,
    ),
  );
  const room = 1000 * (5 / pool.limitVolts - 1) - points.length;
  const crossing = new Map(
    [...truths].map(([lane, contacts]) => [
      lane,
      7 * weekOfCrossing(contacts, room, plan.weeks - 1),
    ]),
  );
  return { pool, walks, work, crossing, truths };
}

/** First week from `from` on at which the contacts together reach `room` ohms, by bisection. */
function weekOfCrossing(contacts: readonly TrueContact[], room: number, from: number): number {
  const over = (week: number): boolean =>
    contacts.reduce((sum, contact) => sum + ohmsAt(contact, week), 0) >= room;
  if (over(from)) return from;
  let [low, high] = [from, from + 2000];
  if (!over(high)) return Infinity;
  while (high - low > 1e-3) {
    const middle = (low + high) / 2;
    if (over(middle)) high = middle;
    else low = middle;
  }
  return high;
}
