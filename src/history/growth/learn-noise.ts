import { assumedAgeing } from "../../domain/assumed-ageing.ts";
import type { SeasonData } from "./season-data.ts";
import type { SeasonFit } from "./season-fit.ts";

/** What the walks themselves say of their noise. */
export interface NoiseFound {
  /** Noise in units of the pool file's. */
  readonly noise: number;
  /** Walk-to-walk scatter of a contact about its line [ln ohm]. */
  readonly scatter: number;
}

/** One value beside what was expected of it. */
interface Residual {
  /** Square of the difference, of the meter's own noise, of rounding and what is not known [V^2]. */
  readonly off2: number;
  readonly noise2: number;
  readonly rest2: number;
  /** By how much one unit of scatter moves it [V^2]. */
  readonly moved2: number;
}

/** Values that the assumed scatter is worth, where contacts are large enough to show theirs. */
const WORTH = 10;
const SCATTER_BEFORE = assumedAgeing.scatter.value;
/** Median of the square of a standard normal. */
const MEDIAN = 0.4549;
const [LEAST, MOST] = [0.25, 4];
/** Values further off than so many sd are stray ones. */
const STRAY = 4;

function residuals(season: SeasonData, fit: SeasonFit): readonly Residual[] {
  return season.paths.flatMap((path, p) => {
    const found: Residual[] = [];
    const supply = fit.supply[p]!;
    for (let w = 0; w < season.days.length; w++) {
      let [series, known2, size2] = [0, 0, 0];
      const error2 = supply.modes.reduce((sum, mode) => sum + mode[w]! ** 2, supply.error[w]! ** 2);
      for (let k = 0; k < path.contacts; k++) {
        const { mean, variance } = fit.moments[p]![k]!;
        series += path.wires[k]! + mean[w]!;
        known2 += variance[w]!;
        size2 += mean[w]! ** 2;
        const at = w * path.contacts + k;
        for (let i = path.first[at]!; i < path.first[at + 1]!; i++) {
          const loop = path.load[i]! + path.sourceOhms + series;
          const expected = (supply.emf[w]! * path.load[i]!) / loop;
          const slope2 = (expected / loop) ** 2;
          found.push({
            off2: (path.shown[i]! - expected) ** 2,
            noise2: path.noise[i]! ** 2,
            rest2: path.step[i]! ** 2 / 12 + error2 + slope2 * known2,
            moved2: slope2 * size2,
          });
        }
      }
    }
    return found;
  });
}

/**
 * Noise from the middle of the squares, where scatter moves little; then scatter from what is left
 * where it moves much.
 */
export function learnNoise(season: SeasonData, fit: SeasonFit): NoiseFound {
  const all = residuals(season, fit);
  const quiet = all
    .filter(({ moved2, noise2 }) => fit.scatter ** 2 * moved2 < 0.1 * noise2)
    .map(({ off2, noise2, rest2 }) => (off2 / MEDIAN - rest2) / noise2)
    .sort((a, b) => a - b);
  const middle = quiet.length < 20 ? 1 : quiet[Math.floor(quiet.length / 2)]!;
  const noise = Math.sqrt(Math.min(MOST ** 2, Math.max(LEAST ** 2, middle)));
  // Least squares of what noise leaves, each value weighed by how well it shows scatter.
  let [sum, weight] = [WORTH * SCATTER_BEFORE ** 2, WORTH];
  for (const { off2, noise2, rest2, moved2 } of all) {
    const base = noise2 * noise ** 2 + rest2;
    const total = base + fit.scatter ** 2 * moved2;
    if (off2 > STRAY ** 2 * total) continue;
    const worth = (moved2 / total) ** 2 * fit.scatter ** 4;
    sum += (worth * (off2 - base)) / moved2;
    weight += worth;
  }
  return { noise, scatter: Math.sqrt(Math.max(0.03 ** 2, sum / weight)) };
}

/** The season with the meter's noise as found. */
export const withNoise = (season: SeasonData, noise: number): SeasonData => ({
  ...season,
  paths: season.paths.map((path) => ({ ...path, noise: path.noise.map((one) => one * noise) })),
});
