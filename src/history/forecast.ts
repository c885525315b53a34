import { limitVoltsOr0 } from "../circuit/limit.ts";
import type { Estimate } from "../domain/findings.ts";
import { type CircuitName, circuitName, circuitOf, sameCircuit } from "../domain/place.ts";
import { type Pool, UNIT_LOAD } from "../domain/pool.ts";
import type { DatedWalk } from "./contact-history.ts";
import type { GrowthAnalysis } from "./growth/analyze-growth.ts";
import { crossingWeeks, driverOf, outlookOf, SOON } from "./growth/path-crossing.ts";
import type { PathPasts } from "./growth/path-pasts.ts";
import { weightedQuantiles } from "./growth/weighted-quantiles.ts";
import type { ReadSeason } from "./read-season.ts";

/** When one circuit's reading at the last point will be at the pool's limit. */
export interface CircuitForecast extends CircuitName {
  /** The last point, where the limit applies. */
  readonly point: string;
  readonly limitVolts: number;
  /** Day that the forecast starts from: the last walk, or work done since. */
  readonly from: number;
  /** What the last point should read on that day, walk-to-walk scatter left out; 90 % [V]. */
  readonly volts: Estimate;
  /** P(the path crosses its limit within `SOON` weeks). */
  readonly growing: number;
  /** P(its contacts have been seen to rise, between works). */
  readonly fell: number;
  /** Day number before which it does not cross, 90 % sure; at most `SOON` weeks on. */
  readonly notBefore: number;
  /**
   * Day number on which it crosses: median and 80 % interval, given that it does; `from` three times
   * where it is there already. Null without a fall that was seen, or where it may well not cross.
   */
  readonly crossing: Estimate | null;
  /** Day of the next walk at which to look again. */
  readonly lookAgain: number;
  /** Point of the contact that takes the most of the path's resistance when it crosses. */
  readonly driver: string;
}

/** A date needs as much that the path crosses, and that a fall was seen. */
const SURE = 0.9;
/** A path has crossed its limit where its latest walk, or its line, says so with this probability. */
const REJECTED = 0.95;
/** A path is looked at once in so many weeks, however good it looks. */
const MOST_WEEKS_BETWEEN_LOOKS = 13;

/** The smallest rise that counts as seen: one step of the display and one of its noise [Ω]. */
function seenOhms(pool: Pool): number {
  const meter = pool.meters[0]!;
  const least = Math.max(meter.noise, meter.resolution ?? 0);
  return ((meter.loadOhms ?? UNIT_LOAD) * least) / pool.supplies[0]!.emf;
}

/**
 * Day of the next look: as many whole walks of `rhythm` days on as fit before the risk is taken, or
 * the day before it where not even one does; where it is taken already, the next walk's day or a
 * week on.
 */
function lookAgain(from: number, risky: number, rhythm: number): number {
  const latest = Math.min(risky, from + 7 * MOST_WEEKS_BETWEEN_LOOKS);
  const walks = Math.floor((latest - from) / rhythm);
  if (walks >= 1) return from + walks * rhythm;
  return from + Math.max(Math.min(rhythm, 7), Math.floor(latest - from));
}

/** P(under the limit) by the latest walk that read the circuit, nothing having been done since. */
function underNow(walks: readonly DatedWalk[], since: number, circuit: CircuitName): number {
  const found = walks
    .filter(({ day }) => day >= since)
    .flatMap(({ diagnosis, informed = diagnosis }) =>
      informed.circuits.filter((one) => sameCircuit(one, circuit)),
    );
  return found.at(-1)?.underLimit ?? 0;
}

function voltsOf(pool: Pool, read: ReadSeason, p: number, pasts: PathPasts): Estimate {
  const load = pool.meters[0]!.loadOhms ?? UNIT_LOAD;
  const { wires, sourceOhms } = read.input.paths[p]!;
  const fixed = sourceOhms + wires.reduce((sum, wire) => sum + wire, 0);
  const { emf } = circuitOf(pool, read.circuits[p]![0]!)!.supply;
  const values = Float64Array.from({ length: pasts.count }, (_, n) => {
    let ohms = fixed;
    for (let k = 0; k < pasts.contacts; k++)
      ohms += Math.exp(pasts.levels[n * pasts.contacts + k]!);
    return (emf * load) / (load + ohms);
  });
  const [low, median, high] = weightedQuantiles(values, pasts.weights, [0.05, 0.5, 0.95]);
  return { low: low!, median: median!, high: high! };
}

/**
 * Forecasts one circuit: every contact goes on growing as it has, steps and idle weeks come as they
 * have come, nothing is cleaned, nothing breaks; the limit is one of resistance, so that the supply
 * does not count. Where the latest walk finds the path under its limit, it has crossed.
 */
export function forecastCircuit(
  pool: Pool,
  read: ReadSeason,
  analysis: GrowthAnalysis,
  walks: readonly DatedWalk[],
  p: number,
  pasts: PathPasts,
  rhythm: number,
): CircuitForecast {
  const contacts = read.circuits[p]!;
  const name = circuitName(contacts[0]!);
  const { from } = read.input;
  const weeks = crossingWeeks(pasts, read.rooms[p]!, analysis.ahead);
  const found = outlookOf(pasts, weeks, seenOhms(pool));
  const begun = contacts.flatMap(({ segments }) =>
    segments.at(-1)!.begunBy === "first walk" ? [] : [segments.at(-1)!.begun],
  );
  const over = Math.max(found.over, underNow(walks, Math.max(...begun, -Infinity), name));
  const dayAt = (after: number): number => from + Math.round(7 * after);
  const there = over >= REJECTED;
  const dated = found.growing >= SURE && found.fell >= SURE;
  const notBefore = there ? from : dayAt(Math.min(SOON, found.notBefore));
  return {
    ...name,
    ...{ point: contacts.at(-1)!.point, limitVolts: limitVoltsOr0(pool), from },
    volts: voltsOf(pool, read, p, pasts),
    growing: there ? 1 : found.growing,
    fell: found.fell,
    notBefore,
    crossing: there
      ? { median: from, low: from, high: from }
      : dated
        ? { median: dayAt(found.median), low: dayAt(found.low), high: dayAt(found.high) }
        : null,
    lookAgain: lookAgain(from, notBefore, rhythm),
    driver: contacts[driverOf(pasts, weeks)]!.point,
  };
}
