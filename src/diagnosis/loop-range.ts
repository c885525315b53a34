import type { LogNormal } from "../domain/pool.ts";
import type { CircuitReading } from "./circuit-model.ts";

/** Standard deviations of a log-normal that count. */
const REACH = 4.5;
/** What a sound contact adds, near enough to say where to look [Ω]. */
const SOUND_OHMS = 0.28;
/**
 * Where to cut the axis of ln(contacts and device together) for its integral: evenly over all that
 * the priors allow, no stretch over `widest` of the device's standard deviations, and around each resistance at which one reading would be met by sound contacts
 * alone, for there the likelihood may have a peak; one wider than `broad` is found without.
 */
export function loopBorders(
  readings: readonly (readonly CircuitReading[])[],
  fixed: number,
  device: LogNormal,
  fouled: LogNormal,
  emf: { readonly mean: number; readonly spread: number },
  widest: number,
  broad: number,
): readonly number[] {
  const low = Math.log(device.medianOhms) - REACH * device.logSd;
  const most = ({ medianOhms, logSd }: LogNormal): number => medianOhms * Math.exp(REACH * logSd);
  const high = Math.log(most(device) + most(fouled));
  const count = Math.ceil((high - low) / (widest * device.logSd));
  const marks = Array.from({ length: count + 1 }, (_, i) => low + ((high - low) * i) / count);
  for (const [i, here] of readings.entries()) {
    for (const reading of here) {
      const peak = soundPeak(reading, (i + 1) * SOUND_OHMS, fixed, emf);
      if (peak === null || peak.width > broad) continue;
      for (const z of peak.width < 0.2 ? [-12, -3, 0, 3, 12] : [-3, 0, 3])
        marks.push(peak.at + z * peak.width);
    }
  }
  const sorted = marks.filter((mark) => mark >= low && mark <= high).sort((a, b) => a - b);
  const borders: number[] = [];
  for (const mark of sorted) {
    if (borders.length === 0 || mark - borders.at(-1)! > 0.004) borders.push(mark);
  }
  return borders;
}

/** The loop in which sound contacts alone meet a reading, on the logarithmic axis. */
function soundPeak(
  { loadOhms, loopOhms, display }: CircuitReading,
  contacts: number,
  fixed: number,
  emf: { readonly mean: number; readonly spread: number },
): { readonly at: number; readonly width: number } | null {
  const x = loopOhms - loadOhms + contacts;
  const restAt = (volts: number): number => {
    const share = volts / emf.mean;
    const without = loadOhms * (1 - share) - share * x;
    if (without <= 0) return Number.POSITIVE_INFINITY;
    return Math.max((x * (loadOhms - share * x)) / without - fixed, 1e-3);
  };
  const noise = Math.hypot(display.noise, display.halfStep / Math.sqrt(3), emf.spread);
  const at = Math.log(restAt(display.shown));
  const width = Math.log(restAt(display.shown + noise)) - Math.log(restAt(display.shown - noise));
  return Number.isFinite(at) && Number.isFinite(width) ? { at, width: width / 2 } : null;
}
