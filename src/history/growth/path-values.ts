import { normalCdfFast } from "../../numerics/normal-table.ts";

/**
 * Every value that was shown along one path, in all walks, and what it says:
 *
 *     P(v | V) = (1 - e) [(1 - k) N(v | V, s) + k N(v | V, 3 s)] + e d / (1.1 E) (+ b where v = 0)
 *     V = E RL / (RL + Rs + S)
 *
 * The series resistance S has an uncertain part (walk-to-walk scatter, the supply's error, contacts
 * in front that are known only so well) which all values behind it share. It is carried along the
 * path as a normal: each value's probability is taken with that part integrated, then corrects it
 * (Kalman 1960; the display's mixture is brought back to one normal by its likeliest part).
 */
export interface PathValues {
  /** Number of contacts. */
  readonly contacts: number;
  /** Values of walk w at position k: from `first[w * contacts + k]` up to the next. */
  readonly first: Int32Array;
  readonly shown: Float64Array;
  readonly step: Float64Array;
  readonly noise: Float64Array;
  /** Variance of rounding to the step [V^2]. */
  readonly rounding: Float64Array;
  readonly load: Float64Array;
  /** Probability of the value by no path at all: misread, or a display that was off. */
  readonly stray: Float64Array;
  /** Copper of each link [ohm]. */
  readonly wires: Float64Array;
  readonly sourceOhms: number;
  /** Which of the season's supplies it hangs on. */
  readonly supply: number;
  /** P(misread), and the share of readings of threefold noise. */
  readonly misread: number;
  readonly tails: number;
  /** `densityTable` of the tails. */
  readonly density: Float64Array;
}

/** How far along one walk's path, and what is known of the resistance so far. */
export interface Along {
  /** Expected series resistance [ohm] and its variance. */
  series: number;
  variance: number;
  /** Product of the values' probabilities. */
  likelihood: number;
}

const ROOT_TWO_PI = Math.sqrt(2 * Math.PI);
/** Beyond so many sd a value is a stray one, whatever the tails. */
const FAR = 24;
const PER_SD = 64;

/** Density of a value of noise 1, so many sd off, with its tails; by the share of tails. */
export function densityTable(tails: number): Float64Array {
  return Float64Array.from({ length: FAR * PER_SD + 2 }, (_, i) => {
    const z = i / PER_SD;
    const tame = (1 - tails) * Math.exp(-0.5 * z * z);
    return (tame + (tails / 3) * Math.exp((-0.5 * z * z) / 9)) / ROOT_TWO_PI;
  });
}

/** P(shown in an interval of one step; at 0 in all below it too), tails and all. */
function coarselyUnder(drop: number, step: number, zero: boolean, sd: number, tails: number) {
  const under = (spread: number): number => {
    const above = normalCdfFast((drop + step / 2) / spread);
    return zero ? above : Math.max(0, above - normalCdfFast((drop - step / 2) / spread));
  };
  return (1 - tails) * under(sd) + tails * under(3 * sd);
}

/** Takes in all values of walk `w` at position `k`, the series resistance up to there being counted. */
export function takeIn(path: PathValues, w: number, k: number, emf: number, along: Along): void {
  const at = w * path.contacts + k;
  const table = path.density;
  for (let i = path.first[at]!; i < path.first[at + 1]!; i++) {
    const load = path.load[i]!;
    const loop = load + path.sourceOhms + along.series;
    const expected = (emf * load) / loop;
    const slope = expected / loop;
    const step = path.step[i]!;
    const drop = path.shown[i]! - expected;
    const own = path.noise[i]! ** 2 + path.rounding[i]!;
    const shared = slope * slope * along.variance;
    const sd = Math.sqrt(own + shared);
    let regular = 0;
    if (path.shown[i] === 0 || step > sd) {
      const fine = Math.sqrt(own + shared - path.rounding[i]!);
      regular = coarselyUnder(drop, step, path.shown[i] === 0, fine, path.tails);
    } else {
      const z = (Math.abs(drop) / sd) * PER_SD;
      if (z < FAR * PER_SD) {
        const low = z | 0;
        const here = table[low]!;
        regular = (step * (here + (z - low) * (table[low + 1]! - here))) / sd;
      }
    }
    regular *= 1 - path.misread;
    const likelihood = regular + path.stray[i]!;
    along.likelihood *= likelihood;
    const pull = (regular * slope * along.variance) / (likelihood * sd * sd);
    along.series -= pull * drop;
    along.variance *= 1 - pull * slope;
  }
}

/** Start of a walk's path: the supply's error [V] counted as resistance in front of everything. */
export function begin(
  path: PathValues,
  load: number,
  emf: number,
  error: number,
  along: Along,
): void {
  const asOhms = (error / emf) * (load + path.sourceOhms);
  along.series = 0;
  along.variance = asOhms * asOhms;
  along.likelihood = 1;
}
