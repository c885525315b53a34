import { assumedAgeing } from "../../domain/assumed-ageing.ts";
import { leverages, type Noise } from "./path-equations.ts";
import type { SeasonData } from "./season-data.ts";
import type { SeasonFit } from "./season-fit.ts";

/** One value beside what was expected of it. */
interface Residual {
  /** Square of the difference [V^2]. */
  readonly off2: number;
  /** What the fit leaves of a value's own variance: 1 less its leverage. */
  readonly left: number;
  /** Variance of the meter's own noise, as the pool file has it. */
  readonly noise2: number;
  /** Variance of rounding, and of the supply, which other paths tell [V^2]. */
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
const LEAST_SCATTER = 0.03;
/** Values further off than so many sd are stray ones. */
const STRAY = 4;
/** No more of a value's variance is taken for what the fit followed. */
const MOST_FOLLOWED = 0.8;
/** Noise settles what the fit could follow, and the other way round. */
const TURNS = 3;

function residuals(season: SeasonData, fit: SeasonFit, noise: Noise): readonly Residual[] {
  return season.paths.flatMap((path, p) => {
    const found: Residual[] = [];
    const { emf, error, modes } = fit.supply[p]!;
    const moments = fit.moments[p]!;
    const emfVariance = error.map((own, w) =>
      modes.reduce((sum, mode) => sum + mode[w]! ** 2, own ** 2),
    );
    const followed = leverages(season, p, moments, noise);
    for (let w = 0; w < season.days.length; w++) {
      let [series, size2] = [0, 0];
      for (let k = 0; k < path.contacts; k++) {
        const ohms = moments[k]!.mean[w]!;
        series += path.wires[k]! + ohms;
        size2 += ohms ** 2;
        const at = w * path.contacts + k;
        for (let i = path.first[at]!; i < path.first[at + 1]!; i++) {
          const loop = path.load[i]! + path.sourceOhms + series;
          const expected = (emf[w]! * path.load[i]!) / loop;
          found.push({
            off2: (path.shown[i]! - expected) ** 2,
            left: 1 - Math.min(MOST_FOLLOWED, followed[i]!),
            noise2: path.noise[i]! ** 2,
            rest2: path.rounding[i]! + (path.load[i]! / loop) ** 2 * emfVariance[w]!,
            moved2: (expected / loop) ** 2 * size2,
          });
        }
      }
    }
    return found;
  });
}

/** What the walks themselves say of their noise. */
export function learnNoise(season: SeasonData, fit: SeasonFit): Noise {
  let found: Noise = { noise: 1, scatter: fit.scatter };
  for (let turn = 0; turn < TURNS; turn++)
    found = noiseOf(residuals(season, fit, found), found.scatter);
  return found;
}

/**
 * Noise from the middle of the squares, where scatter moves little; then scatter from what is left
 * where it moves much.
 */
function noiseOf(all: readonly Residual[], before: number): Noise {
  const quiet = all
    .filter(({ moved2, noise2 }) => before ** 2 * moved2 < 0.1 * noise2)
    .map(({ off2, left, noise2, rest2 }) => (off2 / (left * MEDIAN) - rest2) / noise2)
    .sort((a, b) => a - b);
  const middle = quiet.length < 20 ? 1 : quiet[Math.floor(quiet.length / 2)]!;
  const noise = Math.sqrt(Math.min(MOST ** 2, Math.max(LEAST ** 2, middle)));
  // Least squares of what noise leaves, each value weighed by how well it shows scatter.
  let [sum, weight] = [WORTH * SCATTER_BEFORE ** 2, WORTH];
  for (const { off2, left, noise2, rest2, moved2 } of all) {
    const base = noise2 * noise ** 2 + rest2;
    const total = base + before ** 2 * moved2;
    if (off2 > STRAY ** 2 * total) continue;
    const worth = (moved2 / total) ** 2 * before ** 4;
    sum += (worth * (off2 / left - base)) / moved2;
    weight += worth;
  }
  return { noise, scatter: Math.sqrt(Math.max(LEAST_SCATTER ** 2, sum / weight)) };
}

/** The season with the meter's noise as found. */
export const withNoise = (season: SeasonData, noise: number): SeasonData => ({
  ...season,
  paths: season.paths.map((path) => ({ ...path, noise: path.noise.map((one) => one * noise) })),
});
