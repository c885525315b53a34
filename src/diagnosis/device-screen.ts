import type { LogNormal } from "../domain/pool.ts";
import { gaussLegendre } from "../numerics/gauss-legendre.ts";
import { normalDensity } from "../numerics/normal.ts";
import { normalCdfFast } from "../numerics/normal-table.ts";
import {
  PLAIN,
  type Sketched,
  type SketchLoop,
  sketchFinite,
  sketchOpen,
} from "./device-sketch.ts";
import { likelihoodAt } from "./display-likelihood.ts";
import { loopBorders } from "./loop-range.ts";

const RULE = gaussLegendre(4);

/** A peak no narrower than this is found without a mark. */
const BROAD = 1;

/** How much work goes into a sketch. */
export interface Fineness {
  /** What cannot come to this part of the plain path's likelihood is left out. */
  readonly slight: number;
  /** Widest stretch of the loop's resistance, in standard deviations of the device's. */
  readonly widest: number;
  /** How far the factor may fall short of the exact one near where a fault is ruled out. */
  readonly short: number;
}

export const COARSE: Fineness = { slight: 0.01, widest: 3, short: 2.5 };
export const FINE: Fineness = { slight: 5e-4, widest: 1.8, short: 1.7 };

/** The plain path, sketched once for all rivals. */
interface PlainSketch {
  /** Roughly P(readings, a contact open | EMF). */
  readonly open: number;
  /** Roughly P(readings | EMF). */
  readonly whole: number;
}

export function sketchPlain(circuit: Sketched, emf: number, { slight }: Fineness): PlainSketch {
  const pilot = sketchFinite(circuit, emf, PLAIN, 0.01 * circuit.most[0]!);
  const open = sketchOpen(circuit, emf, slight * pilot);
  const finite = sketchFinite(circuit, emf, PLAIN, slight * Math.max(pilot, open));
  return { open, whole: open + finite };
}

/** Roughly P(readings | EMF, device with this fault) over the plain path's. */
export function sketchFactor(
  circuit: Sketched,
  emf: number,
  plain: PlainSketch,
  device: LogNormal,
  { slight, widest }: Fineness,
): number {
  const least = slight * plain.whole;
  const atMost = circuit.most[0]! * lastPointAtMost(circuit, emf, device);
  if (atMost < least) return plain.open / plain.whole;
  const fixed = circuit.fixed.at(-1)!;
  const certain = { mean: emf, spread: 0 };
  const borders = loopBorders(
    circuit.readings,
    fixed,
    device,
    circuit.fouled,
    certain,
    widest,
    BROAD,
  );
  let closed = 0;
  for (const [i, high] of borders.slice(1).entries()) {
    const low = borders[i]!;
    for (const [k, x] of RULE.nodes.entries()) {
      const rest = Math.exp((low + high + (high - low) * x) / 2);
      const weight = ((high - low) / 2) * RULE.weights[k]!;
      closed += weight * sketchFinite(circuit, emf, loopOf(fixed, rest, device), least);
    }
  }
  return (plain.open + closed) / plain.whole;
}

/**
 * At most this part of the best likelihood is left for the last point's readings: its meter stands
 * beside the device, and cannot show more than wires alone would let through.
 */
function lastPointAtMost(
  { readings, fixed }: Sketched,
  emf: number,
  { medianOhms, logSd }: LogNormal,
): number {
  let least = 1;
  for (const { loadOhms, display } of readings.at(-1)!) {
    const volts = display.shown - display.halfStep - 5 * display.noise;
    const share = volts / emf;
    if (share <= 0) continue;
    // Device and meter together, and the device alone, where wires let just these volts through.
    const beside = (share * fixed.at(-1)!) / (1 - share);
    const ohms = share < 1 && beside < loadOhms ? 1 / (1 / beside - 1 / loadOhms) : Infinity;
    const higher = normalCdfFast(-Math.log(ohms / medianOhms) / logSd);
    const lower = likelihoodAt(display, volts) / likelihoodAt(display, display.shown);
    least = Math.min(least, higher + lower);
  }
  return least;
}

function loopOf(fixed: number, rest: number, device: LogNormal): SketchLoop {
  const { medianOhms, logSd } = device;
  const density = (ohms: number): number =>
    (rest * normalDensity(Math.log(ohms / medianOhms) / logSd)) / (ohms * logSd);
  const mode = medianOhms * Math.exp(-logSd * logSd);
  return {
    whole: fixed + rest,
    end: (contacts) => (contacts < rest ? density(rest - contacts) : 0),
    mostEnd: density(Math.min(rest, mode)),
    wanted: { ohms: Math.max(rest - medianOhms, 0), width: medianOhms * logSd },
  };
}
