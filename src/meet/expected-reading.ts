import { errorFunction } from "simple-statistics";
import { dropSpread } from "../circuit/detection-limit.ts";
import { readingVolts } from "../circuit/divider.ts";
import { type Circuit, sourceOr0 } from "../domain/circuit.ts";
import type { LogNormal, Meter } from "../domain/pool.ts";
import { ohms, type Volts, volts } from "../domain/units.ts";

/** What this meter shows at a point of a path whose contacts are all sound. */
export interface ExpectedReading {
  readonly point: string;
  /** The middle of what to expect [V]. */
  readonly median: Volts;
  /** Nineteen readings in twenty lie from `low` to `high` [V], on the meter's own steps. */
  readonly low: Volts;
  readonly high: Volts;
  /**
   * Down from the same circuit's own reading at its first point: one sound path in twenty falls by
   * more, as the meter shows both [V]. The supply is in both readings and drops out. 0 at the
   * first point.
   */
  readonly drop: Volts;
}

/** Step of the grid of summed contact resistances [Ω], and its number of cells. */
const stepOhms = 0.05;
const cells = 1200; // up to 60 ohms: beyond it a sound path has no weight that shows

/**
 * The values to expect at each point of this circuit, not a generic 5 V.
 *
 * Uncertain are the supply (its prior), each contact (the pool's sound log-normal), and the meter
 * (noise, then rounding to its step). The contacts' sum is convolved on a grid of 0.05 ohm; for
 * each sum the reading is normal about E RL / (RL + Rs + S). Null where nobody knows the meter's
 * load: then only the supply can be expected, and the load is what to find out first.
 */
export function expectedReadings(
  { path, supply }: Pick<Circuit, "path" | "supply">,
  contact: LogNormal,
  meter: Meter,
): ExpectedReading[] | null {
  const { loadOhms } = meter;
  const { emf } = supply;
  const sourceOhms = sourceOr0(supply);
  if (loadOhms === null) return null;
  const one = soundCells(contact);
  const step = meter.resolution ?? 0.01;
  const first = path[0]!.wireOhms + contact.medianOhms;
  let sum: Float64Array = new Float64Array(cells);
  sum[0] = 1;
  let behindFirst = sum;
  let wire = 0;
  return path.map((link, k) => {
    sum = convolve(sum, one);
    wire += link.wireOhms;
    if (k > 0) behindFirst = convolve(behindFirst, one);
    const lost = (contacts: number): number =>
      readingVolts(emf, loadOhms, sourceOhms, ohms(first)) -
      readingVolts(emf, loadOhms, sourceOhms, ohms(first + wire - path[0]!.wireOhms + contacts));
    const shown = (contacts: number): Spread => {
      const gain = readingVolts(emf, loadOhms, sourceOhms, ohms(wire + contacts)) / emf;
      return { mean: emf * gain, sd: Math.hypot(supply.emfSd * gain, meter.noise) };
    };
    const at = (share: number): number => quantile(sum, shown, 2 * emf, share);
    const sd = dropSpread(meter.noise, volts(step));
    const fall = (): number =>
      quantile(behindFirst, (contacts) => ({ mean: lost(contacts), sd }), emf, 0.95);
    return {
      point: link.point,
      median: volts(at(0.5)),
      low: volts(onStep(Math.round(at(0.025) / step), step)),
      high: volts(onStep(Math.round(at(0.975) / step), step)),
      drop: volts(k === 0 ? 0 : onStep(Math.ceil(fall() / step - 0.5), step)),
    };
  });
}

/** What a meter shows where the contacts are known: normal about `mean` [V]. */
interface Spread {
  readonly mean: number;
  readonly sd: number;
}

/** The value, from 0 to `most`, that lies over this share of all, before rounding. */
function quantile(
  sum: Float64Array,
  shown: (contactOhms: number) => Spread,
  most: number,
  share: number,
): number {
  const shares = [...sum].flatMap((weight, i) =>
    weight < 1e-9 ? [] : [{ weight, ...shown(i * stepOhms) }],
  );
  const under = (v: number): number =>
    shares.reduce((p, { weight, mean, sd }) => p + weight * normalCdf((v - mean) / sd), 0);
  let [low, high] = [0, most];
  while (high - low > 1e-7) {
    const middle = (low + high) / 2;
    if (under(middle) < share) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/** Good to 1.2e-7, far finer than any meter's step. */
const normalCdf = (z: number): number => 0.5 + 0.5 * errorFunction(z / Math.SQRT2);

const onStep = (steps: number, step: number): number => Number((steps * step).toFixed(6));

/** P(a sound contact falls in each cell); what lies beyond the grid joins the last cell. */
function soundCells({ medianOhms, logSd }: LogNormal): Float64Array {
  const under = (ohms: number): number =>
    ohms <= 0 ? 0 : normalCdf(Math.log(ohms / medianOhms) / logSd);
  return Float64Array.from({ length: cells }, (_, i) =>
    i === cells - 1
      ? 1 - under((i - 0.5) * stepOhms)
      : under((i + 0.5) * stepOhms) - under((i - 0.5) * stepOhms),
  );
}

function convolve(a: Float64Array, b: Float64Array): Float64Array {
  const out = new Float64Array(cells);
  for (let i = 0; i < cells; i += 1) {
    const share = a[i] ?? 0;
    if (share < 1e-12) continue;
    for (let j = 0; j < cells; j += 1) {
      const k = Math.min(cells - 1, i + j);
      out[k] = (out[k] ?? 0) + share * (b[j] ?? 0);
    }
  }
  return out;
}
