import { median } from "simple-statistics";
import { loadIn } from "../circuit/load-in.ts";
import { sourceOr0 } from "../domain/circuit.ts";
import { type CircuitName, circuitOf } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import { isResting, type Reading } from "../domain/reading.ts";
import { type ContactHistory, contactKey, type DatedWalk } from "./contact-history.ts";
import { type ChartLimits, individualsLimits, oddValues } from "./control-chart.ts";

/** One walk's reading at one point, beside what the contacts' lines expect. */
export interface ChartedReading {
  readonly walk: string;
  readonly day: number;
  /** Median of the walk's readings at rest [V]. */
  readonly volts: number;
  /** By the contacts' lines and the walk's own EMF [V]. */
  readonly expected: number;
  /** Outside the limits, and by more than the meter's step and four of its noise. */
  readonly flagged: boolean;
}

/** Readings at one point of one circuit through the walks, growth taken out. */
export interface PointChart extends CircuitName {
  readonly point: string;
  readonly readings: readonly ChartedReading[];
  /** Readings left out: by their own walk's diagnosis they do not show the path. */
  readonly doubted: number;
  /** Of `volts - expected` [V]; null under two walks. */
  readonly limits: ChartLimits | null;
}

/** A contact, and the ohms that each walk should find in it. */
interface ChartedContact {
  readonly history: ContactHistory;
  readonly mean: Float64Array;
}

/** What was read at one point in one walk. */
interface PointReadings {
  readonly taken: Reading[];
  doubted: number;
}

/** Readings at rest of one walk, by circuit and point; those that its diagnosis doubts only counted. */
function byPoint({ readings, diagnosis }: DatedWalk): Map<string, PointReadings> {
  const doubts = new Set(
    diagnosis.readAgain.flatMap((place) =>
      place.shown === null ? [] : [`${contactKey(place)} ${place.shown.line} ${place.shown.volts}`],
    ),
  );
  const groups = new Map<string, PointReadings>();
  for (const reading of readings) {
    if (!isResting(reading)) continue;
    const key = contactKey(reading);
    const group = groups.get(key) ?? { taken: [], doubted: 0 };
    groups.set(key, group);
    if (doubts.has(`${key} ${reading.line} ${reading.volts}`)) group.doubted += 1;
    else group.taken.push(reading);
  }
  return groups;
}

/**
 * Noise of the meter that no reading is flagged for [standard deviations]: a season has a thousand
 * readings, of which three pass three by noise alone.
 */
const NOISES = 4;

/** Limits come from the readings that are not odd by themselves; `least` is never a step [V]. */
function flag(readings: readonly Omit<ChartedReading, "flagged">[], least: number) {
  const differences = readings.map(({ volts, expected }) => volts - expected);
  const odd = oddValues(differences, least);
  const limits = individualsLimits(differences.filter((_, i) => !odd[i]));
  return {
    limits,
    readings: readings.map((reading, i) => {
      const off = Math.abs(differences[i]! - (limits?.centre ?? 0));
      const allowed = limits === null ? Infinity : Math.max(least, limits.high - limits.centre);
      return { ...reading, flagged: odd[i]! || off > allowed };
    }),
  };
}

/**
 * Charts every point of one circuit whose contacts stand in the order of the chain. A flag is a
 * step that growth does not explain: a fault that came at once, work that nobody logged, or a wild
 * reading that its own walk could not tell from one. A load that nobody knows is as the walk has it.
 */
export function chartCircuit(
  pool: Pool,
  contacts: readonly ChartedContact[],
  walks: readonly DatedWalk[],
  readingsByWalk: readonly Map<string, PointReadings>[],
): readonly PointChart[] {
  const meters = new Map(pool.meters.map((meter) => [meter.name, meter]));
  const circuit = circuitOf(pool, contacts[0]!.history)!;
  const wires = new Map(circuit.path.map((step) => [step.point, step.wireOhms]));
  const pathOhms = new Float64Array(walks.length).fill(sourceOr0(circuit.supply));
  return contacts.map((contact) => {
    const { lane, device, end, point } = contact.history;
    const key = contactKey(contact.history);
    const charted: Omit<ChartedReading, "flagged">[] = [];
    let [least, doubted] = [0, 0];
    walks.forEach(({ day, diagnosis }, w) => {
      const { walk, emf } = diagnosis;
      const copper = wires.get(point) ?? 0;
      pathOhms[w]! += copper + contact.mean[w]!;
      const read = readingsByWalk[w]!.get(key);
      doubted += read?.doubted ?? 0;
      const [first] = read?.taken ?? [];
      if (read === undefined || first === undefined) return;
      const meter = meters.get(first.meter)!;
      const load = loadIn(diagnosis, meter);
      least = Math.max(least, first.step, NOISES * meter.noise);
      charted.push({
        walk,
        day,
        volts: median(read.taken.map(({ volts }) => volts)),
        expected: (emf.median * load) / (load + pathOhms[w]!),
      });
    });
    return { lane, device, end, point, doubted, ...flag(charted, least) };
  });
}

/** Sorts every walk's readings once, for all circuits. */
export const readingsByWalk = (
  walks: readonly DatedWalk[],
): readonly Map<string, PointReadings>[] => walks.map(byPoint);
