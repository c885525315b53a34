import { type Ohms, ohms, type Volts, volts } from "../domain/units.ts";

/**
 * The path with everything that can hang on it: a source, series elements, and a shunt across the
 * line behind any of them (a closed or stuck switch, a wet pod, a leaking connector).
 *
 *     E --[Rs]--o--[series 0]--o--[series 1]--o-- ... --o
 *               |              |              |         |
 *        timer's input      shunt 0        shunt 1    device
 *
 * A **position** counts the series elements in front of a place: 0 is the timer's own input,
 * `seriesOhms.length` the device end. Resistances are 0 or more; infinite means open in series and
 * absent as a shunt, and is carried exactly.
 *
 * @see Kuphaldt, Lessons In Electric Circuits, vol. I DC, ch. 10 "Thevenin's Theorem".
 */
export interface Ladder {
  /** E, EMF of the supply [V]. */
  readonly emf: Volts;
  /** Rs, source resistance inside the timer [Ω]. */
  readonly sourceOhms: Ohms;
  /** w + r of each step, in order from the timer [Ω]. */
  readonly seriesOhms: readonly Ohms[];
  /** Leak across the line just behind each step, infinite for none [Ω]. As long as seriesOhms. */
  readonly shuntOhms: readonly Ohms[];
}

/** A source that behaves as the network behind it does: EMF [V] behind a resistance [Ω]. */
export interface TheveninSource {
  readonly emf: Volts;
  readonly ohms: Ohms;
}

/** No leak, or no meter. */
const absent = ohms(Number.POSITIVE_INFINITY);

/**
 * A path with nothing across it but, perhaps, its device.
 *
 * @param deviceOhms Rd across the device end: a few ohms where the switch is pressed, kilohms
 *   where the pod is wet, infinite (the default) at rest [Ω].
 */
export function pathLadder(
  emf: Volts,
  sourceOhms: Ohms,
  seriesOhms: readonly Ohms[],
  deviceOhms: Ohms = absent,
): Ladder {
  const last = seriesOhms.length - 1;
  const shuntOhms = seriesOhms.map((_, step) => (step === last ? deviceOhms : absent));
  return { emf, sourceOhms, seriesOhms, shuntOhms };
}

/**
 * What a meter of load RL [Ω] shows on this position [V]; an infinite load is no meter.
 * Throws where the ladder has no such position.
 *
 * @param position Steps from the timer [steps; whole, 0 to the ladder's length].
 */
export function ladderVolts(ladder: Ladder, position: number, loadOhms: Ohms): Volts {
  const source = sourceAt(ladder, position);
  return across(source.emf, source.ohms, parallelOhms(loadOhms, loadBeyond(ladder, position)));
}

/**
 * The voltage at the timer's own input, no meter on the path [V].
 * Throws where steps and shunts differ in number.
 */
export const timerInputVolts = (ladder: Ladder): Volts => ladderVolts(ladder, 0, absent);

/**
 * Everything on the timer's side of a position, its own shunt included, as one source.
 * Throws where the ladder has no such position.
 *
 * @param position Steps from the timer [steps; whole, 0 to the ladder's length].
 */
export function sourceAt(ladder: Ladder, position: number): TheveninSource {
  let source: TheveninSource = { emf: ladder.emf, ohms: ladder.sourceOhms };
  for (let step = 0; step < checked(ladder, position); step += 1) {
    const behind = ohms(source.ohms + ladder.seriesOhms[step]!);
    const shunt = ladder.shuntOhms[step]!;
    source = { emf: across(source.emf, behind, shunt), ohms: parallelOhms(behind, shunt) };
  }
  return source;
}

/**
 * Everything beyond a position, seen from there as one resistance [Ω].
 * Throws where the ladder has no such position.
 *
 * @param position Steps from the timer [steps; whole, 0 to the ladder's length].
 */
export function loadBeyond(ladder: Ladder, position: number): Ohms {
  let load = absent;
  for (let step = ladder.seriesOhms.length - 1; step >= checked(ladder, position); step -= 1) {
    load = ohms(ladder.seriesOhms[step]! + parallelOhms(load, ladder.shuntOhms[step]!));
  }
  return load;
}

/** Two resistances side by side [Ω]; an infinite one changes nothing, a zero one shorts both. */
export const parallelOhms = (a: Ohms, b: Ohms): Ohms => ohms(1 / (1 / a + 1 / b));

/**
 * The share of an EMF that falls across `below` behind `above` [V]. An open path above outweighs
 * anything below it, and a short below leaves nothing, even where nothing stands above.
 */
function across(emf: Volts, above: Ohms, below: Ohms): Volts {
  if (below === 0) return volts(0);
  return volts(emf / (1 + above / Math.min(below, Number.MAX_VALUE)));
}

function checked(ladder: Ladder, position: number): number {
  const { seriesOhms, shuntOhms } = ladder;
  if (shuntOhms.length !== seriesOhms.length) {
    throw new Error(`ladder has ${seriesOhms.length} steps but ${shuntOhms.length} shunts`);
  }
  if (!Number.isInteger(position) || position < 0 || position > seriesOhms.length) {
    throw new Error(`position must be 0 to ${seriesOhms.length}, got ${position}`);
  }
  return position;
}
