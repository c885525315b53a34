import { contactLimit, deck, type Law } from "./law.ts";
import type { Optimum } from "./optimum.ts";
import { leftOver, type Player, type Work, workPrice } from "./players.ts";
import {
  type Contact,
  chanceOf,
  firstContact,
  lossInMeet,
  passWeek,
  readPath,
  work,
} from "./world.ts";

/** What one player's pool came to. */
export interface Outcome {
  readonly lost: number;
  readonly cleaned: number;
  readonly replaced: number;
  readonly spent: number;
  /** Value of what is left at the end [currency]. */
  readonly left: number;
}

/** One reading again of one path: two readings and a walk to the lane. */
const AGAIN = (deck.labourPerHour * (2 * 8 + 6)) / 3600;

/** A pool kept by one player for so many weeks. */
export function runSeason(
  law: Law,
  optima: readonly Optimum[],
  player: Player,
  seed: number,
  lanes: number,
  weeks: number,
): Outcome {
  const width = deck.points.length;
  const paths = Array.from({ length: lanes }, (_, lane) =>
    deck.points.map((_, k): Contact => firstContact(law, seed, lane * width + k)),
  );
  let [lost, cleaned, replaced, spent] = [0, 0, 0, 0];
  for (let week = 0; week < weeks; week++) {
    const emf = deck.emf + deck.emfSd * chanceOf(seed, 6, week).normal();
    const read = (lane: number, stage: number): readonly number[] =>
      readPath(paths[lane]!, emf, chanceOf(seed, 7, week, lane, stage));
    let asked = paths.map(() => true);
    for (let stage = 0; stage < 4 && asked.some(Boolean); stage++) {
      const volts = paths.map((_, lane) => (asked[lane] ? read(lane, stage) : null));
      const works = player.act({ week, stage, volts, emf, truth: paths });
      const touched = paths.map(() => false);
      for (const [lane, path] of paths.entries())
        for (const [k, contact] of path.entries()) {
          const action: Work = asked[lane] ? works[lane]![k]! : "wait";
          if (action === "wait") continue;
          touched[lane] = true;
          if (action === "read-again") {
            spent += AGAIN;
            continue;
          }
          work(law, contact, action, seed, lane * width + k, [week, stage]);
          player.worked?.(lane, k, action);
          spent += workPrice(k, action);
          if (action === "clean") cleaned++;
          else replaced++;
        }
      asked = touched;
    }
    for (const path of paths)
      lost += deck.meetsPerWeek * deck.lostLane * lossInMeet(law, path, contactLimit);
    for (const [lane, path] of paths.entries())
      for (const [k, contact] of path.entries())
        passWeek(law, contact, seed, week, lane * width + k);
    player.passWeek?.();
  }
  const worth = (1 + deck.discountRate) ** (-weeks / 52);
  let left = 0;
  for (const path of paths)
    for (const [k, contact] of path.entries()) left += worth * leftOver(optima[k]!, contact);
  return { lost, cleaned, replaced, spent, left };
}
