import { logSum } from "../numerics/log-sum.ts";
import type { Shelf } from "./chain/circuit-model.ts";
import type { NuisanceRange } from "./chain/features.ts";
import type { Asked } from "./circuit-sums.ts";
import { nestOf } from "./nest/nest.ts";
import { branchesOf } from "./nuisance/branches.ts";
import {
  type Branch,
  type Coordinates,
  coordinatesOf,
  logMixedPrior,
  logWeighed,
  type WeighedCoordinates,
} from "./nuisance/coordinates.ts";
import { integrateBranch, type Look } from "./nuisance/integrate.ts";
import { Looks } from "./nuisance/looks.ts";
import { sdOf } from "./nuisance/normal-fit.ts";
import { sourceLoops } from "./nuisance/source-loops.ts";
import { walkSketch } from "./nuisance/walk-sketch.ts";
import { type InferredNode, posteriorOf, type WalkPosterior } from "./posterior.ts";
import type { WalkProblem } from "./problem.ts";
import { type Quantiles, type SharedNumbers, sharedNumbers } from "./shared-numbers.ts";
import { WalkSums } from "./walk-sums.ts";
import { displayOf } from "./zero-runs.ts";

/** What the readings of a walk say, as probabilities of places and states. */
export interface WalkInference extends WalkPosterior {
  /** ln P(all displayed values). */
  readonly logEvidence: number;
  readonly nodes: readonly InferredNode[];
  readonly shared: SharedNumbers;
}

/** `asked` as in `posteriorOf`. */
export function infer(walk: WalkProblem, shelf: Shelf, asked: Asked = "all"): WalkInference {
  const nest = nestOf(walk);
  const display = displayOf(walk.circuits, walk.zeroRuns);
  const sketch = walkSketch(walk, nest);
  const looks = new Looks(walk, sketch.at, (nuisances) => sourceLoops(walk, sketch, nuisances));
  const branches = branchesOf(walk, (branch) => looks.score(branch));
  const bundles = looks.bundles(branches);
  let best = Number.NEGATIVE_INFINITY;
  const all = bundles.map(({ branch, members }) => {
    const look = looks.at(branch);
    const priors = members.map(({ branch: own, logWeight, tilt }) => ({
      coordinates: coordinatesOf(walk, own),
      ...{ logWeight, tilt, stretches: own.stretches },
    }));
    const range = rangeOf(walk, branch, look);
    const middle = look.coordinates.nuisance(look.fits[0]?.mean ?? new Float64Array(0));
    const sums = new WalkSums(walk, shelf, { nest, display }, range, middle);
    const integral = integrateBranch(walk, look, priors, sums, {
      coarse: bundles.length > MANY,
      best,
    });
    best = Math.max(best, integral.logMass);
    return { priors, integral, look };
  });
  // A bundle for which the readings are impossible has no part in what they say.
  const possible = all.filter(({ integral }) => Number.isFinite(integral.logMass));
  const integrals = possible.length > 0 ? possible : all;
  const logs = integrals.map(({ integral }) => integral.logMass);
  const logEvidence = logSum(logs);
  const nodes = integrals.flatMap(({ integral, look }, b) =>
    integral.nodes.map(
      ({ point, found, weight, alone }): InferredNode => ({
        nuisance: look.coordinates.nuisance(point),
        weight: weight * Math.exp(logs[b]! - logEvidence),
        alone: alone * Math.exp(logs[b]! - logEvidence),
        walk: found,
      }),
    ),
  );
  const values = integrals.flatMap(({ integral, priors }, b) =>
    integral.nodes.flatMap(({ point, weight }) =>
      sharesOf(priors, point).map(({ coordinates, share }, k) => ({
        nuisance: coordinates.nuisance(point),
        stretches: priors[k]!.stretches,
        weight: share * weight * Math.exp(logs[b]! - logEvidence),
      })),
    ),
  );
  const shared = refined(walk, sharedNumbers(walk, values), integrals);
  return { logEvidence, nodes, ...posteriorOf(walk, nodes, asked), shared };
}

/** What each of several branches has of a node. */
function sharesOf(
  priors: WeighedCoordinates,
  point: Float64Array,
): readonly { readonly coordinates: Coordinates; readonly share: number }[] {
  const all = logMixedPrior(priors, point);
  return priors.map((prior) => ({
    coordinates: prior.coordinates,
    share: Math.exp(logWeighed(prior, point) - all),
  }));
}

/** Meshes are laid for a noise so far down its range, in ln: what is finer is rare. */
const LOWEST = 0.8;

/** More bundles of branches of unknown resistances than this are integrated more coarsely each. */
const MANY = 8;

/** With the EMF's own quantiles, where it is one number whose density was followed by itself. */
function refined(
  walk: WalkProblem,
  shared: SharedNumbers,
  integrals: readonly {
    readonly integral: { readonly first?: Quantiles };
    readonly priors: WeighedCoordinates;
  }[],
): SharedNumbers {
  const read = [...new Set(walk.circuits.map(({ supply }) => supply))];
  const [supply] = read;
  const { first } = integrals[0]!.integral;
  const [own] = integrals[0]!.priors;
  const single = integrals.length === 1 && integrals[0]!.priors.length === 1 && read.length === 1;
  if (!single || first === undefined || !(walk.supplies[supply!]!.emfSd > 0)) return shared;
  const emfOf = (shown: number): number =>
    own!.coordinates.nuisance(Float64Array.from(own!.coordinates.prior, () => shown)).emf[supply!]!;
  const emf = { median: emfOf(first.median), low: emfOf(first.low), high: emfOf(first.high) };
  return { ...shared, emf: shared.emf.map((one, s) => (s === supply ? emf : one)) };
}

/** Between what the shared numbers may lie, as wide as the sketch thinks and more. */
function rangeOf(walk: WalkProblem, branch: Branch, look: Look): NuisanceRange {
  const points = look.fits.flatMap((fit) => {
    const { mean } = fit;
    const half = mean.map((_, row) => sdOf(fit, row));
    return [-3.5, 3.5].map((z) => mean.map((x, i) => x + z * half[i]!));
  });
  const coordinates = coordinatesOf(walk, branch);
  const values = (points.length > 0 ? points : [new Float64Array(0)]).map((point) =>
    coordinates.nuisance(point),
  );
  const drift = Math.max(...values.map((value) => Math.abs(value.drift))) / 2;
  return {
    emf: walk.supplies.map((_, s) => [
      Math.min(...values.map(({ emf }) => emf[s]!)) - drift,
      Math.max(...values.map(({ emf }) => emf[s]!)) + drift,
    ]),
    noiseScale: Math.min(...values.map(({ noiseScale }) => noiseScale)) ** LOWEST,
    sourceOhms: branch.sourceOhms.map((x) => [x, x] as const),
    loadOhms: branch.loadOhms.map((x) => [x, x] as const),
  };
}
