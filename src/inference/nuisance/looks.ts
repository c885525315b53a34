import { logSum } from "../../numerics/log-sum.ts";
import type { Nuisance } from "../chain/point-likelihoods.ts";
import type { WalkProblem } from "../problem.ts";
import { firstLooks, type WeighedBranch } from "./branches.ts";
import {
  type Branch,
  type Coordinates,
  coordinatesOf,
  keyOf,
  logPrior,
  loopOf,
  mainMeters,
  type WeighedPrior,
} from "./coordinates.ts";
import { FEW, highestShown, type Look, lookAt, scoreOf } from "./integrate.ts";
import { along, type NormalFit, sdOf } from "./normal-fit.ts";
import type { Sketch } from "./sketch.ts";

/** Branches whose loops are no further apart than this, in ln, have their modes near each other. */
const NEAR = 0.7;
/** The best value on a parabola through three points so far apart, in standard deviations. */
const APART = 1.2;
const FURTHEST = 3;
/** So far below the best score known, in ln, a branch needs no look of its own. */
const HOPELESS = 60;
/** A branch that is out of question unless loops make it likelier by so much more than any yet, in ln. */
const GAINED = 20;
/** A place elsewhere that comes so near to a mode, in ln, asks for a look of its own. */
const RIVALS = 6;
/** Branches of which loops speak so much alike, in ln, share a likelihood, each with its own gain. */
const SAME_LOOPS = 4;
/** What a sketch thinks of a branch, in ln, and of its bundle's middle is no further apart than this. */
const AS_LIKELY = 1;
/** Such sources are no further apart than this, in ln, with what a small loop has else [Ω]. */
const SAME_SOURCE = 0.25;
const SMALL_LOOP = 3;
/** An EMF so many of its prior's standard deviations off is not looked at. */
const UNLIKELY = 12;

interface Whole {
  readonly branch: Branch;
  readonly look: Look;
}

/** Where the posterior of each branch is: the whole axis is looked along now and then only. */
export class Looks {
  readonly #walk: WalkProblem;
  readonly #sketch: Sketch;
  readonly #loopsOf: (nuisances: readonly Nuisance[]) => Sketch | null;
  readonly #meters: readonly (number | null)[];
  readonly #shown: readonly (readonly number[])[];
  readonly #whole: Whole[] = [];
  readonly #known = new Map<string, Look>();
  readonly #scores = new Map<string, number>();
  readonly #places = new Map<string, Float64Array>();
  readonly #gains = new Map<string, number>();
  #best = Number.NEGATIVE_INFINITY;
  #bestScore = Number.NEGATIVE_INFINITY;
  #mostGain = 0;
  /** What circuits that conduct say of a source; asked for once numbers are known to ask with. */
  #loops: { readonly gain: Sketch | null } | null = null;

  /** @param sketch What says where the posterior is; `loops` as in `sourceLoops`. */
  constructor(
    walk: WalkProblem,
    sketch: Sketch,
    loops: (nuisances: readonly Nuisance[]) => Sketch | null = () => null,
  ) {
    this.#walk = walk;
    this.#sketch = sketch;
    this.#loopsOf = loops;
    this.#meters = mainMeters(walk);
    this.#shown = highestShown(walk);
  }

  /** The modes of a branch. */
  at(branch: Branch): Look {
    const key = keyOf(branch);
    let look = this.#known.get(key);
    if (look === undefined) {
      const near = this.#wholeNear(branch);
      // In a walk of few circuits another look passes over hills that are as wide as the prior.
      const isEnough = keyOf(near.branch) === key && this.#walk.circuits.length >= FEW;
      look = isEnough ? near.look : lookAt(this.#walk, branch, this.#sketch, near.look);
      this.#known.set(key, look);
    }
    return look;
  }

  /** ln of a branch's sketched posterior, integrated; its own weight is left out. */
  score(branch: Branch): number {
    const key = keyOf(branch);
    let score = this.#scores.get(key);
    if (score === undefined) {
      const { logMass, place } = this.#hillsOf(branch);
      this.#places.set(key, place);
      const isFar = logMass + this.#mostGain + GAINED < this.#bestScore;
      score = logMass + (isFar ? this.#mostGain : this.#gainOf(branch));
      this.#scores.set(key, score);
      if (!isFar) this.#bestScore = Math.max(this.#bestScore, score);
    }
    return score;
  }

  /** What loops make of a branch, where the rest of the walk puts its numbers. */
  #gainOf(branch: Branch): number {
    const key = keyOf(branch);
    let gain = this.#gains.get(key);
    if (gain === undefined) {
      const place = this.#places.get(key) ?? this.#topOf(this.at(branch));
      const at = (one: Branch): Nuisance => coordinatesOf(this.#walk, one).nuisance(place);
      this.#loops ??= { gain: this.#loopsOf(this.#probes(branch, at)) };
      gain = this.#loops.gain?.(at(branch)) ?? 0;
      this.#mostGain = Math.max(this.#mostGain, gain);
      this.#gains.set(key, gain);
    }
    return gain;
  }

  #topOf({ fits }: Look): Float64Array {
    return fits[0]?.mean ?? new Float64Array(0);
  }

  /** A branch with sources all over their laws; none where all are known. */
  #probes(branch: Branch, at: (one: Branch) => Nuisance): readonly Nuisance[] {
    const looks = this.#walk.supplies.map(({ sourceOhms }) => firstLooks(sourceOhms));
    const most = Math.max(...looks.map(({ length }) => length));
    if (most === 1) return [];
    return Array.from({ length: most }, (_, i) =>
      at({ ...branch, sourceOhms: looks.map((own) => own[i % own.length]!) }),
    );
  }

  /** ln of a branch's sketched posterior without what loops make of it, and where its top is. */
  #hillsOf(branch: Branch): { readonly logMass: number; readonly place: Float64Array } {
    const near = this.#nearest(branch);
    const { fits } = (near ?? this.#wholeNear(branch)).look;
    const whole = () => {
      const look = this.at(branch);
      this.#best = Math.max(this.#best, look.logMass);
      return { logMass: look.logMass, place: this.#topOf(look) };
    };
    if (fits.length === 0) return whole();
    const coordinates = coordinatesOf(this.#walk, branch);
    const scoreAt = scoreOf(coordinates, this.#sketch);
    const hills = fits.map((fit) => hillNear(fit, scoreAt));
    const highest = hills.reduce((best, hill) => (hill.top > best.top ? hill : best));
    const { top, place } = highest;
    const elsewhere = this.#elsewhere(fits, coordinates, scoreAt);
    const most = Math.max(top, elsewhere);
    if (most < this.#best - HOPELESS) return { logMass: most, place };
    const isFar = near !== null && this.#distance(near.branch, branch) > NEAR;
    const isUnclear = hills.some((hill) => hill.top > top - RIVALS && !hill.isClear);
    if (isFar || isUnclear || elsewhere > top - RIVALS) return whole();
    const logMass = logSum(hills.filter(({ isClear }) => isClear).map((hill) => hill.logMass));
    this.#best = Math.max(this.#best, logMass);
    return { logMass, place };
  }

  /** The best score away from the fits: where the prior is, and where circuits show their most. */
  #elsewhere(
    fits: readonly NormalFit[],
    { prior }: Coordinates,
    scoreAt: (point: Float64Array) => number,
  ): number {
    let best = Number.NEGATIVE_INFINITY;
    for (const [s, places] of this.#shown.entries()) {
      const { mean: middle, sd } = prior[s]!;
      const taken = fits.map((fit) => ({ at: fit.mean[s]!, reach: FURTHEST * sdOf(fit, s) }));
      const isAtFit = (place: number): boolean =>
        taken.some(({ at, reach }) => Math.abs(place - at) < reach);
      for (const place of [middle, ...places]) {
        if (isAtFit(place) || Math.abs(place - middle) > UNLIKELY * sd) continue;
        const point = fits[0]!.mean.slice();
        point[s] = place;
        best = Math.max(best, scoreAt(point));
      }
    }
    return best;
  }

  /** The nearest look along the whole axis so far. */
  #nearest(branch: Branch): Whole | null {
    return this.#whole.reduce<Whole | null>(
      (best, one) =>
        best === null || this.#distance(one.branch, branch) < this.#distance(best.branch, branch)
          ? one
          : best,
      null,
    );
  }

  /** A look along the whole axis at a branch nearby, which may be this one. */
  #wholeNear(branch: Branch): Whole {
    const near = this.#nearest(branch);
    if (near !== null && this.#distance(near.branch, branch) < NEAR) return near;
    const whole = { branch, look: lookAt(this.#walk, branch, this.#sketch, null) };
    this.#whole.push(whole);
    return whole;
  }

  #distance(a: Branch, b: Branch): number {
    return loopDistance(this.#meters, a, b);
  }

  /**
   * Gathers branches that readings can hardly tell apart but by what the prior has of their EMF: one
   * likelihood stands for all of a bundle, laid at its mean, times what the sketch thinks of each.
   */
  bundles(branches: readonly WeighedBranch[]): readonly Bundle[] {
    let found: readonly Bundle[] = [];
    for (const width of WIDTHS) {
      found = this.#bundles(branches, width);
      if (found.length <= ENOUGH) break;
    }
    return found;
  }

  #bundles(branches: readonly WeighedBranch[], width: Width): readonly Bundle[] {
    const left = [...branches].sort((a, b) => b.score - a.score);
    const found: Bundle[] = [];
    while (left.length > 0) {
      const [first] = left;
      const near = left.filter(
        (one) =>
          loopDistance(this.#meters, one, first!) < width.loops && this.#saySame(one, first!),
      );
      const bundle = this.#bundleOf(near, first!, width.bent);
      found.push(bundle);
      for (const { branch } of bundle.members) left.splice(left.indexOf(branch), 1);
    }
    return found;
  }

  /** The first of some branches with those of the others that are alike. */
  #bundleOf(near: readonly WeighedBranch[], first: WeighedBranch, bent: number): Bundle {
    const alone = { branch: first, logWeight: first.logWeight, tilt: null };
    if (near.length > 1) {
      const middle = this.#loops?.gain ? first : meanBranch(near);
      const { fits } = this.at(middle);
      const alike = fits.length === 1 ? this.#alike(near, middle, fits[0]!, bent) : [];
      if (alike.some(({ branch }) => branch === first)) return { branch: middle, members: alike };
    }
    return { branch: first, members: [alone] };
  }

  /** Whether a small loop would hardly tell one branch from another. */
  #saySame(a: Branch, b: Branch): boolean {
    if (!this.#loops?.gain) return true;
    const apart = a.sourceOhms.map((x, s) =>
      Math.abs(Math.log((x + SMALL_LOOP) / (b.sourceOhms[s]! + SMALL_LOOP))),
    );
    const gained = Math.abs(this.#gainOf(a) - this.#gainOf(b));
    return Math.max(...apart) < SAME_SOURCE && gained < SAME_LOOPS;
  }

  /** Those branches whose likelihood's ratio to the middle one's is simple near the mode. */
  #alike(
    near: readonly WeighedBranch[],
    middle: Branch,
    fit: NormalFit,
    bent: number,
  ): Bundle["members"] {
    const likelihoodOf = (branch: Branch): readonly number[] => {
      const coordinates = coordinatesOf(this.#walk, branch);
      const at = scoreOf(coordinates, this.#sketch);
      return [-APART, 0, APART].map((z) => {
        const point = along(fit, [z]);
        return at(point) - logPrior(coordinates, point);
      });
    };
    const there = likelihoodOf(middle);
    const gainThere = this.#gainOf(middle);
    const [from, sd] = [fit.mean[0]!, fit.root[0]![0]!];
    return near.flatMap((branch) => {
      const off = likelihoodOf(branch).map((own, k) => own - there[k]!);
      const [down, same, up] = off as [number, number, number];
      if (Math.abs(down + up - 2 * same) > bent || Math.abs(up - down) > 7 * bent) return [];
      if (Math.abs(same) > AS_LIKELY) return [];
      const gained = this.#gainOf(branch) - gainThere;
      const perVolt = (up - down) / (2 * APART * sd);
      return [{ branch, logWeight: branch.logWeight + same + gained, tilt: { perVolt, from } }];
    });
  }
}

/** The hill that a fit of another branch has here, from three points along its first axis. */
interface Hill {
  readonly top: number;
  readonly logMass: number;
  /** Whether a parabola tells where its top is. */
  readonly isClear: boolean;
  readonly place: Float64Array;
}

function hillNear(fit: NormalFit, scoreAt: (point: Float64Array) => number): Hill {
  const at = (z: number): number => scoreAt(along(fit, [z]));
  const [down, middle, up] = [at(-APART), at(0), at(APART)];
  const bend = 2 * middle - down - up;
  const isBent = bend > 0.1;
  const best = ((up - down) / 2 / bend) * APART;
  const top = middle + (isBent ? ((up - down) * best) / APART / 4 : Math.abs(up - down));
  const logMass = top + Math.log(APART / Math.sqrt(bend)) + constantOf(fit.root);
  const isClear = isBent && Math.abs(best) <= FURTHEST;
  return { top, logMass, isClear, place: along(fit, [isClear ? best : 0]) };
}

/** How much the branches of a bundle may differ from its best one. */
interface Width {
  /** In their loops, in ln. */
  readonly loops: number;
  /** By how much ln of the likelihood's ratio may bend over the mode's width; seven times that, tilt. */
  readonly bent: number;
}

/** The narrowest that leaves no more than `ENOUGH` bundles, or the widest. */
const WIDTHS: readonly Width[] = [
  { loops: 0.08, bent: 0.1 },
  { loops: 0.25, bent: 0.2 },
  { loops: 0.6, bent: 0.4 },
];
const ENOUGH = 64;

/** Branches that one likelihood stands for. */
export interface Bundle {
  /** The branch at which the likelihood is taken. */
  readonly branch: Branch;
  /** With ln of each one's weight, times its likelihood over that of `branch`. */
  readonly members: readonly ({ readonly branch: WeighedBranch } & Pick<
    WeighedPrior,
    "logWeight" | "tilt"
  >)[];
}

/** The mean source and load, by how likely each is. */
function meanBranch(branches: readonly WeighedBranch[]): Branch {
  const most = branches[0]!.score;
  const weights = branches.map(({ score }) => Math.exp(score - most));
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  const mean = (of: (branch: Branch) => number): number =>
    branches.reduce((sum, branch, i) => sum + (weights[i]! * of(branch)) / total, 0);
  return {
    sourceOhms: branches[0]!.sourceOhms.map((_, s) => mean((one) => one.sourceOhms[s]!)),
    loadOhms: branches[0]!.loadOhms.map((_, m) => mean((one) => one.loadOhms[m]!)),
  };
}

/** By how much the loops of two branches differ at most, in ln. */
export const loopDistance = (meters: readonly (number | null)[], a: Branch, b: Branch): number =>
  Math.max(
    0,
    ...meters.map((meter, s) =>
      meter === null ? 0 : Math.abs(Math.log(loopOf(a, s, meter) / loopOf(b, s, meter))),
    ),
    ...a.loadOhms.map((load, m) => Math.abs(Math.log(load / b.loadOhms[m]!))),
  );

/** What a normal's scale adds to the integral. */
const constantOf = (root: readonly Float64Array[]): number =>
  root.reduce((sum, column, i) => sum + Math.log(column[i]!) + 0.5 * Math.log(2 * Math.PI), 0);
