import { steps } from "../domain/courses.ts";
import { normalCdf } from "../numerics/normal.ts";
import type { BeliefPoint } from "./contact-belief.ts";
import { type HeldConnector, stepCosts, weightsOf } from "./held-connector.ts";
import type { ReadingView } from "./reading-rule.ts";

/** A reading of the last point before it is taken. */
export interface NextReading extends ReadingView {
  /** P(it is misread); any value up to the supply's is then as likely as another. */
  readonly misread: number;
  /** Supply [V]. */
  readonly emf: number;
  /** What it costs to take it [currency]. */
  readonly price: number;
}

/** Steps of the display that the possible values are put together in [V]. */
const BIN = 0.04;

/** P(the reading falls into each bin | a point of the belief). */
function shownBins(reading: NextReading, point: BeliefPoint): Float64Array {
  const bins = Math.ceil((1.1 * reading.emf) / BIN);
  const { noise, misread, badShare } = reading;
  const chances = new Float64Array(bins).fill(misread / bins);
  const add = (volts: number, share: number): void => {
    const under = (k: number): number =>
      k <= 0 ? 0 : k >= bins ? 1 : normalCdf((k * BIN - volts) / noise);
    for (let k = 0; k < bins; k++) chances[k]! += (1 - misread) * share * (under(k + 1) - under(k));
  };
  switch (point.state) {
    case "open":
    case "open-for-good":
      add(0, 1);
      break;
    case "intermittent":
    case "loose-for-good":
      add(reading.volts(Number.NEGATIVE_INFINITY), 1 - badShare);
      add(0, badShare);
      break;
    default:
      add(reading.volts(point.level), 1);
  }
  return chances;
}

/**
 * Expected cost of reading one contact's path again and then taking the step that is cheapest: its
 * price, and the least expected cost given each value that may be shown. One step of expected
 * information: averaging alone would never choose to look.
 *
 * Source: expected value of sample information, Raiffa and Schlaifer 1961 (memory).
 */
export function readAgainCost(held: HeldConnector, contact: number, reading: NextReading): number {
  const beliefs = held.contacts.map(({ belief }) => weightsOf(belief));
  const own = held.contacts[contact]!.belief;
  const shown = own.map((point) => shownBins(reading, point));
  let cost = reading.price;
  for (let bin = 0; bin < (shown[0]?.length ?? 0); bin++) {
    const joint = Float64Array.from(own, ({ weight }, k) => weight * shown[k]![bin]!);
    const chance = joint.reduce((sum, each) => sum + each, 0);
    if (chance < 1e-9) continue;
    const weights = beliefs.map((each, c) => (c === contact ? joint.map((x) => x / chance) : each));
    const costs = stepCosts(held, weights);
    cost += chance * Math.min(...steps.map((step) => costs[step]));
  }
  return cost;
}
