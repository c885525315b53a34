import { choleskyFactor, choleskyInverse, choleskySolve } from "../../numerics/cholesky.ts";
import type { ContactMoments } from "./contact-moments.ts";
import { pathEquations, type WalkEquations } from "./path-equations.ts";
import type { SeasonData, SupplyBefore } from "./season-data.ts";

/** The supply as one path sees it: what all other paths say of it, walk by walk [V]. */
export interface PathSupply {
  readonly emf: Float64Array;
  /** Error of a walk by itself. */
  readonly error: Float64Array;
  /**
   * Errors that walks have in common, each with the sd 1: contacts that get worse alike look like a
   * supply that falls. `modes[m][w]` [V].
   */
  readonly modes: readonly Float64Array[];
}

/** Ways in which errors of walks go together, the largest. */
const MODES = 2;
/** No supply is steadier than this from walk to walk [V]. */
const STEADIEST = 0.003;
/** Walks that the pool file's sd is worth, for the sd from walk to walk. */
const WORTH = 0.5;

/**
 * The supply in every walk: all values of all paths, each path's contacts free to stand and grow
 * otherwise than expected, and the EMF of a walk Normal(the season's mean, between walks). A normal
 * least-squares problem; the contacts' part is taken out path by path (Schur complement), and each
 * path is given what the others say.
 */
export function supplyLine(
  season: SeasonData,
  moments: readonly (readonly ContactMoments[])[],
  scatter: number,
  last: readonly PathSupply[] | null,
): readonly PathSupply[] {
  const walks = season.days.length;
  const own = season.paths.map((_, p) =>
    pathEquations(season, p, moments[p]!, scatter, last?.[p]?.emf ?? null),
  );
  const found: PathSupply[] = [];
  season.supplies.forEach((before, s) => {
    const paths = own.flatMap((_, p) => (season.paths[p]!.supply === s ? [p] : []));
    const all = total(
      paths.map((p) => own[p]!),
      walks,
    );
    const between = betweenWalks(before, all, walks);
    for (const p of paths)
      found[p] = solve(before, less(all, own[p]!), between, walks, season.driftSd);
  });
  return found;
}

function total(own: readonly WalkEquations[], walks: number): WalkEquations {
  const sum = { matrix: new Float64Array(walks * walks), right: new Float64Array(walks) };
  for (const { matrix, right } of own) {
    for (let i = 0; i < matrix.length; i++) sum.matrix[i]! += matrix[i]!;
    for (let w = 0; w < walks; w++) sum.right[w]! += right[w]!;
  }
  return sum;
}

const less = (all: WalkEquations, mine: WalkEquations): WalkEquations => ({
  matrix: all.matrix.map((value, i) => value - mine.matrix[i]!),
  right: all.right.map((value, w) => value - mine.right[w]!),
});

/** Adds the prior of a constant mean and independent walks; EMFs are counted from what was expected. */
function posterior(
  { emfSd }: SupplyBefore,
  { matrix, right }: WalkEquations,
  between: number,
  walks: number,
) {
  // Inverse of b^2 I + s^2 1 1': (I - 1 1' / (walks + b^2 / s^2)) / b^2.
  const b2 = between * between;
  const shared = 1 / (walks + b2 / emfSd ** 2);
  const full = matrix.map((value, i) => {
    const diagonal = Math.floor(i / walks) === i % walks ? 1 : 0;
    return value + (diagonal - shared) / b2;
  });
  const factor = choleskyFactor(full, walks);
  return { factor, mean: choleskySolve(factor, walks, right) };
}

/** From the differences of neighbours, which contacts that grow slowly do not move. */
function betweenWalks(before: SupplyBefore, all: WalkEquations, walks: number): number {
  const wide = before.emfSd;
  const { factor, mean } = posterior(before, all, wide, walks);
  const covariance = choleskyInverse(factor, walks);
  let sum = WORTH * wide * wide;
  for (let w = 1; w < walks; w++) {
    const error2 =
      covariance[w * walks + w]! +
      covariance[(w - 1) * walks + w - 1]! -
      2 * covariance[w * walks + w - 1]!;
    sum += Math.max(0, Math.min((mean[w]! - mean[w - 1]!) ** 2, 18 * wide * wide) - error2) / 2;
  }
  return Math.max(STEADIEST, Math.sqrt(sum / (WORTH + walks - 1)));
}

function solve(
  before: SupplyBefore,
  equations: WalkEquations,
  between: number,
  walks: number,
  driftSd: number,
): PathSupply {
  const { factor, mean } = posterior(before, equations, between, walks);
  const covariance = choleskyInverse(factor, walks);
  const left = Float64Array.from({ length: walks }, (_, w) => covariance[w * walks + w]!);
  const modes: Float64Array[] = [];
  for (let m = 0; m < MODES; m++) {
    const mode = largestMode(covariance, modes, walks);
    for (let w = 0; w < walks; w++) left[w] = Math.max(0, left[w]! - mode[w]! ** 2);
    modes.push(mode);
  }
  const drift2 = driftSd ** 2 / 12;
  return {
    emf: mean.map((value) => before.emf + value),
    error: left.map((variance) => Math.sqrt(variance + drift2)),
    modes,
  };
}

/** Root of the largest eigenvalue times its eigenvector, those found before taken out (power method). */
function largestMode(
  covariance: Float64Array,
  found: readonly Float64Array[],
  walks: number,
): Float64Array {
  let mode = Float64Array.from({ length: walks }, (_, w) => 1 + 0.1 * (w % 3) + w / walks);
  let size = 0;
  for (let turn = 0; turn < 30; turn++) {
    const next = new Float64Array(walks);
    for (let i = 0; i < walks; i++)
      for (let j = 0; j < walks; j++) next[i]! += covariance[i * walks + j]! * mode[j]!;
    for (const other of found) {
      let along = 0;
      for (let w = 0; w < walks; w++) along += other[w]! * mode[w]!;
      for (let w = 0; w < walks; w++) next[w]! -= along * other[w]!;
    }
    let square = 0;
    for (const value of next) square += value * value;
    size = Math.sqrt(square);
    if (size < 1e-12) return new Float64Array(walks);
    mode = next.map((value) => value / size);
  }
  return mode.map((value) => value * Math.sqrt(size));
}
