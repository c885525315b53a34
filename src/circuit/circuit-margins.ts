import { type Circuit, sourceOr0 } from "../domain/circuit.ts";
import type { Estimate, WalkDiagnosis } from "../domain/findings.ts";
import type { Margins } from "../domain/margins.ts";
import { type CircuitName, circuitKey, circuitOf, sameCircuit } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import { isResting, type Reading } from "../domain/reading.ts";
import { type Ohms, volts } from "../domain/units.ts";
import { margins } from "./margins.ts";
import { readingInterval, switchOhms } from "./switch-ohms.ts";

/**
 * Touch and rest margin of one circuit, from what a walk's diagnosis says about its contacts and
 * from its own pressed readings.
 *
 * The path is the sum of wires and contacts, its bounds the sums of the contacts' bounds: never too
 * narrow. Of several pressed readings the one that tells most about the switch counts.
 * Throws where the pool has no such circuit, or the walk did not read it.
 *
 * @param walk The diagnosis of the walk; a meter of unknown load leaves its intervals wide.
 * @param readings The walk's readings; only this circuit's pressed ones are used.
 */
export function circuitMargins(
  pool: Pool,
  walk: Pick<WalkDiagnosis, "emf" | "contacts">,
  name: CircuitName,
  readings: readonly Reading[],
): Margins {
  const circuit = circuitOf(pool, name);
  if (circuit === undefined) throw new Error(`pool has no circuit ${circuitKey(name)}`);
  const { path, supply } = circuit;
  const contacts = path.map(({ point }) =>
    walk.contacts.find((one) => sameCircuit(one, circuit) && one.point === point),
  );
  const known = contacts.filter((contact) => contact !== undefined);
  if (known.length < path.length) throw new Error(`walk has no contacts of ${circuitKey(name)}`);
  const steps = path.map(({ wireOhms }, k) => withWire(known[k]!.ohms, wireOhms));
  const pressed = readings.filter((one) => sameCircuit(one, circuit) && !isResting(one));
  return margins(
    { sourceOhms: supply.sourceOhms, timerInput: pool.timerInput },
    {
      emf: walk.emf,
      seriesOhms: total(steps),
      switchOhms: closedSwitch(pool, circuit, walk.emf, steps, pressed),
    },
  );
}

/** Rd from the pressed reading that leaves the narrowest interval; null where none tells. */
function closedSwitch(
  pool: Pool,
  { path, supply }: Circuit,
  emf: Estimate,
  steps: readonly Estimate[],
  pressed: readonly Reading[],
): Estimate | null {
  const each = pressed.flatMap((reading) => {
    const meter = pool.meters.find(({ name }) => name === reading.meter);
    const at = path.findIndex(({ point }) => point === reading.point);
    if (!meter || meter.loadOhms === null || at < 0) return [];
    const step = meter.resolution ?? reading.step;
    return switchOhms({
      emf,
      sourceOhms: sourceOr0(supply),
      loadOhms: meter.loadOhms,
      seriesOhms: total(steps.slice(0, at + 1)),
      beyondOhms: total(steps.slice(at + 1)),
      reading: readingInterval(volts(reading.volts), volts(step), meter.noise),
    });
  });
  return each.reduce<Estimate | null>(
    (best, one) => (best === null || width(one) < width(best) ? one : best),
    null,
  );
}

/** Infinity less infinity is no width to prefer. */
function width({ low, high }: Estimate): number {
  return high === Number.POSITIVE_INFINITY ? high : high - low;
}

const withWire = ({ median, low, high }: Estimate, wire: Ohms): Estimate => ({
  median: median + wire,
  low: low + wire,
  high: high + wire,
});

const total = (parts: readonly Estimate[]): Estimate => {
  const sum = (of: (part: Estimate) => number) => parts.reduce((all, part) => all + of(part), 0);
  return { median: sum((p) => p.median), low: sum((p) => p.low), high: sum((p) => p.high) };
};
