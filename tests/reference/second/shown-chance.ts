import { normalBelow, normalDensity } from "../normal.ts";

const step = 1 / 256;
const reach = 9;
const table = Float64Array.from({ length: 2 * reach * 256 + 1 }, (_, i) =>
  normalBelow(i * step - reach),
);
const slopes = Float64Array.from({ length: 2 * reach * 256 + 1 }, (_, i) =>
  normalDensity(i * step - reach),
);

/**
 * Distribution function of the standard normal from a table of 1/256 with two Taylor terms; off
 * by less than 1e-8 of itself near the middle and 2e-9 in all, far under any stray chance.
 */
export const below = (z: number): number => {
  if (z <= -reach) return 0;
  if (z >= reach) return 1;
  const i = Math.round((z + reach) * 256);
  const dz = z + reach - i * step;
  const at = i * step - reach;
  return table[i]! + slopes[i]! * dz * (1 - 0.5 * dz * (at - (dz * (at * at - 1)) / 3));
};

/** What of a meter and a walk bears on one reading's chance. */
export interface Showing {
  readonly volts: number;
  readonly step: number;
  readonly noise: number;
  readonly tails: number;
  readonly misread: number;
  /** Chance of this very value when misread: e d / (1.1 E_nominal). */
  readonly stray: number;
}

/** Chance that the display shows this value, not misread, when `volts` is true; times 1 - e. */
export const readRight = (reading: Showing, noise: number, volts: number): number => {
  const high = reading.volts + reading.step / 2 - volts;
  const low = reading.volts === 0 ? Number.NEGATIVE_INFINITY : high - reading.step;
  const inner = below(high / noise) - below(low / noise);
  if (reading.tails === 0) return (1 - reading.misread) * inner;
  const wide = below(high / (3 * noise)) - below(low / (3 * noise));
  return (1 - reading.misread) * ((1 - reading.tails) * inner + reading.tails * wide);
};
