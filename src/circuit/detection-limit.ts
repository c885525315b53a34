import { longestCircuit, pathWire, sourceOr0 } from "../domain/circuit.ts";
import type { Meter, Pool } from "../domain/pool.ts";
import { type Ohms, ohms, type Volts, volts } from "../domain/units.ts";
import { normalQuantile } from "../numerics/normal.ts";
import { readingVolts, seriesOhmsFromReading } from "./divider.ts";
import { mustShow } from "./limit.ts";

/**
 * The smallest contact resistance that a meter can show on a path: it draws so little current, or
 * shows so few digits, that anything less looks like a sound contact.
 *
 * Two readings are compared, one on each side of the contact. Each is uncertain by
 *
 *     u = sqrt(s^2 + d^2 / 12)
 *
 * with noise `s` and display step `d` (a rectangular distribution, JCGM 100:2008 4.3.7, F.2.2.1),
 * their difference by `u * sqrt(2)`. The **decision threshold** is the drop that a sound contact
 * shows with probability `falseAlarm` only; the **detection limit** is the contact whose drop
 * stays under the threshold with probability `miss` only. Both follow ISO 11843-1 (critical and
 * minimum detectable value), with normal errors:
 *
 *     threshold = sound drop + z(1 - falseAlarm) * u * sqrt(2)
 *     limit     : its drop   = threshold + z(1 - miss) * u * sqrt(2)
 */
export interface DetectionLimit {
  /**
   * The limit, in `unit`; null where no contact but an open one shows, or not even that [`unit`;
   * over 0].
   */
  readonly contact: number | null;
  /** "meter load": a multiple of the meter's load, which nobody knows. */
  readonly unit: "ohm" | "meter load";
  /** Drop between the two readings from which on a contact is called faulty [V]. */
  readonly thresholdVolts: Volts;
  /** Drop that a contact at the limit gives on average [V]. */
  readonly limitVolts: Volts;
  /** What it must show for this path to be called sound (`limit.ts`) [Ω]. */
  readonly mustShow: Ohms;
  /** It does not show that; null where the load is not known. */
  readonly blind: boolean | null;
}

/** Chances of the two wrong calls, both 0.05 by convention. */
export interface Risks {
  /** P(a sound contact is called faulty). */
  readonly falseAlarm: number;
  /** P(a contact at the limit is not noticed). */
  readonly miss: number;
}

/** One false alarm and one miss in twenty. */
export const oneInTwenty: Risks = { falseAlarm: 0.05, miss: 0.05 };

/**
 * The detection limit of one meter at the last point of a pool's longest path, where it is worst: all
 * other contacts sound, at their median, one reading on each side of the last contact.
 *
 * With no known load, wire and sound contacts count as nothing beside it, and the limit is a
 * multiple of the load.
 *
 * @param step Display step of the meter, where the meter's own entry has none [V].
 */
export function detectionLimit(
  pool: Pool,
  meter: Meter,
  step: Volts,
  risks: Risks = oneInTwenty,
): DetectionLimit {
  const sound = pool.contact.sound.medianOhms;
  const circuit = longestCircuit(pool.circuits);
  const { path: steps, supply } = circuit;
  const inUnits = meter.loadOhms === null;
  const path: SoundPath = inUnits
    ? {
        emf: supply.emf,
        loadOhms: ohms(1),
        sourceOhms: ohms(0),
        before: ohms(0),
        sound: ohms(0),
      }
    : {
        emf: supply.emf,
        loadOhms: meter.loadOhms,
        sourceOhms: sourceOr0(supply),
        before: ohms(pathWire(steps) + sound * (steps.length - 1)),
        sound,
      };
  const spread = dropSpread(meter.noise, meter.resolution ?? step);
  const soundDrop = dropAt(path, path.sound);
  const threshold = soundDrop + normalQuantile(1 - risks.falseAlarm) * spread;
  const limit = threshold + normalQuantile(1 - risks.miss) * spread;
  const contact = contactForDrop(path, limit);
  const needed = mustShow(pool, circuit);
  return {
    contact,
    unit: inUnits ? "meter load" : "ohm",
    thresholdVolts: volts(threshold),
    limitVolts: volts(limit),
    mustShow: needed,
    blind: inUnits ? null : contact === null || contact > needed,
  };
}

/** Standard uncertainty of one reading: its noise, and a rectangular step of the display [V]. */
export const readingSd = (noise: Volts, step: Volts): Volts =>
  volts(Math.hypot(noise, step / Math.sqrt(12)));

/** Standard deviation of the difference of two readings of one meter [V]. */
export const dropSpread = (noise: Volts, step: Volts): number =>
  Math.SQRT2 * readingSd(noise, step);

/** A path that is sound up to the contact in question. */
interface SoundPath {
  readonly emf: Volts;
  readonly loadOhms: Ohms;
  readonly sourceOhms: Ohms;
  /** Wires and sound contacts in front of the contact [Ω]. */
  readonly before: Ohms;
  /** The contact itself, while it is sound [Ω]. */
  readonly sound: Ohms;
}

/** What a contact takes from the reading behind it [V]. */
function dropAt(path: SoundPath, contact: Ohms): number {
  const { emf, loadOhms, sourceOhms, before } = path;
  const behind = readingVolts(emf, loadOhms, sourceOhms, ohms(before + contact));
  return readingVolts(emf, loadOhms, sourceOhms, before) - behind;
}

/**
 * The contact that takes `drop` from the reading behind it [Ω]; null where none can, or where the
 * meter draws nothing, so that only an open one does.
 */
function contactForDrop(path: SoundPath, drop: number): Ohms | null {
  const { emf, loadOhms, sourceOhms, before } = path;
  const behind = readingVolts(emf, loadOhms, sourceOhms, before) - drop;
  if (behind <= 0 || loadOhms === Number.POSITIVE_INFINITY) return null;
  return ohms(seriesOhmsFromReading(emf, loadOhms, sourceOhms, volts(behind)) - before);
}
