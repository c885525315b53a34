import { type Ohms, ohms, type Volts, volts } from "../domain/units.ts";
import { readingVolts } from "./divider.ts";
import { parallelOhms } from "./ladder.ts";

/**
 * A path across which something conducts: a resistance Rd behind the connector of point m.
 *
 * With `before` = Rs + S_k the resistance up to a point k and `loop` = Rs + S_m + Rd that of the
 * whole loop, a meter at k <= m sees the EMF behind `before`, loaded by itself beside the rest of
 * the loop: given the loop, the reading depends on the path up to its own point alone.
 */
export function loopVolts(emf: Volts, loadOhms: Ohms, before: Ohms, loop: Ohms): Volts {
  const rest = loop - before;
  if (!(rest > 0)) return volts(0);
  return readingVolts(emf, parallelOhms(loadOhms, ohms(rest)), ohms(0), before);
}

/**
 * What stands behind the point at which it conducts, seen as one source (Thevenin): the share of
 * the EMF that falls across Rd, behind the path up to there beside Rd.
 */
export function sourceBehind(
  emf: Volts,
  before: Ohms,
  loop: Ohms,
): { readonly emf: Volts; readonly ohms: Ohms } {
  const share = Math.max(0, 1 - before / loop);
  return { emf: volts(emf * share), ohms: ohms(before * share) };
}

/** What a meter shows behind the point at which it conducts, so much further along a series path. */
export function voltsBehind(
  emf: Volts,
  loadOhms: Ohms,
  before: Ohms,
  loop: Ohms,
  more: Ohms,
): Volts {
  const behind = sourceBehind(emf, before, loop);
  return readingVolts(behind.emf, loadOhms, behind.ohms, more);
}
