import { Misuse } from "./misuse.ts";
import { circuitOf, connectorAt } from "./place.ts";
import type { Pool } from "./pool.ts";
import type { Reading } from "./reading.ts";

/** `lane 3 touchpad`, as a caller named it. */
const called = ({ lane, device, end }: Reading): string =>
  [lane === null ? "no lane," : `lane ${lane}`, device, end ?? ""].filter(Boolean).join(" ");

/** What keeps one reading from being this pool's; null where nothing does. */
function misuseOf(pool: Pool, one: Reading): Misuse | null {
  if (!(one.volts >= 0 && Number.isFinite(one.volts) && one.step > 0 && Number.isFinite(one.step)))
    return new Misuse(
      "volts-out-of-range",
      `${called(one)}, ${one.point}: ${one.volts} V in steps of ${one.step} V; both finite, volts 0 or more`,
    );
  const circuit = circuitOf(pool, one);
  if (circuit === undefined)
    return new Misuse("unknown-circuit", `${pool.name} has no circuit of ${called(one)}`);
  if (connectorAt(circuit, one.point) === undefined) {
    const points = circuit.path.map(({ point }) => point).join(", ");
    return new Misuse("unknown-point", `${called(one)} has no ${one.point}; its points: ${points}`);
  }
  const meters = pool.meters.map(({ name }) => name);
  if (!meters.includes(one.meter))
    return new Misuse(
      "unknown-meter",
      `${pool.name} has no meter ${one.meter}: ${meters.join(", ")}`,
    );
  return null;
}

/**
 * Throws `Misuse` where readings are not one walk of this pool: readings of several walks would be taken
 * for one state of the circuits, and answered without a word.
 */
export function assertOneWalk(pool: Pool, readings: readonly Reading[]): void {
  const walks = [...new Set(readings.map(({ walk }) => walk))];
  if (walks.length > 1)
    throw new Misuse(
      "mixed-walks",
      `readings of ${walks.length} walks (${walks.slice(0, 3).join(", ")}${walks.length > 3 ? ", …" : ""}) ` +
        "where one walk is diagnosed: take follow() for many, or pick one by its `walk`",
    );
  for (const one of readings) {
    const misuse = misuseOf(pool, one);
    if (misuse !== null) throw misuse;
  }
}
