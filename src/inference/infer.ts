import { logSum } from "../numerics/log-sum.ts";
import { circuitModel, type Shelf } from "./chain/circuit-model.ts";
import type { NuisanceRange } from "./chain/features.ts";
import { seriesWays, sumWays, type WaysSum } from "./circuit-evidence.ts";
import { conductingPlan, conductingWays } from "./conducting/plan.ts";
import { buildNest } from "./nest/nest.ts";
import { branchesOf } from "./nuisance/branches.ts";
import { type Branch, coordinatesOf } from "./nuisance/coordinates.ts";
import { integrateBranch, type Look, lookAt } from "./nuisance/integrate.ts";
import { circuitSketch } from "./nuisance/sketch.ts";
import { type InferredNode, posteriorOf, type WalkPosterior } from "./posterior.ts";
import type { WalkProblem } from "./problem.ts";
import type { Quantiles, SharedNumbers } from "./shared-numbers.ts";
import { walkNode } from "./walk-node.ts";
import { displayOf } from "./zero-runs.ts";

/** What the readings of a walk say, as probabilities of places and states. */
export interface WalkInference extends WalkPosterior {
  /** ln P(all displayed values). */
  readonly logEvidence: number;
  readonly nodes: readonly InferredNode[];
}

export function infer(walk: WalkProblem, shelf: Shelf): WalkInference {
  const nest = buildNest(
    walk.circuits.map(({ links }) => links.flatMap(({ body }) => (body === null ? [] : [body]))),
    walk.bodies.map(({ contaminated }) => contaminated),
  );
  const display = displayOf(walk.circuits, walk.zeroRuns);
  const sketches = walk.circuits.map((circuit) => circuitSketch(walk, circuit));
  const looks = new Map<Branch, Look>();
  const lookOf = (branch: Branch): Look => {
    const look = looks.get(branch) ?? lookAt(walk, branch, sketches);
    looks.set(branch, look);
    return look;
  };
  const branches = branchesOf(walk, (branch) => lookOf(branch).logMass);
  const integrals = branches.map((branch) => {
    const look = lookOf(branch);
    const range = rangeOf(walk, branch, look);
    const models = walk.circuits.map((circuit) => circuitModel(walk, circuit, range, shelf));
    const middle = look.coordinates.nuisance(look.fits[0]?.mean ?? new Float64Array(0));
    const plans = walk.circuits.map((circuit) =>
      conductingPlan(walk, shelf, circuit, range, middle),
    );
    const integral = integrateBranch(
      walk,
      look,
      (nuisance) => {
        const known = new Map<string, WaysSum>();
        return walkNode(nest, display.shared, models.length, (c, off) => {
          const own = display.circuits[c]!;
          const mine = off.filter((index) => own.sharedZeros.has(index));
          const key = `${c} ${mine.join(" ")}`;
          let sum = known.get(key);
          if (sum === undefined) {
            const [model, plan] = [models[c]!, plans[c]!];
            sum = sumWays([
              ...seriesWays(model, own, nuisance, mine, plan.unseen),
              ...conductingWays(model, plan, own, nuisance, mine),
            ]);
            known.set(key, sum);
          }
          return sum;
        });
      },
      branches.length > MANY,
    );
    return { branch, integral, look };
  });
  const logs = integrals.map(({ branch, integral }) => integral.logMass + branch.logWeight);
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
  const posterior = posteriorOf(walk, nodes);
  return { logEvidence, nodes, ...posterior, shared: refined(walk, posterior.shared, integrals) };
}

/** More branches of unknown resistances than this are integrated more coarsely each. */
const MANY = 8;

/** With the EMF's own quantiles, where it is one number whose density was followed by itself. */
function refined(
  walk: WalkProblem,
  shared: SharedNumbers,
  integrals: readonly { readonly integral: { readonly first?: Quantiles } }[],
): SharedNumbers {
  const read = [...new Set(walk.circuits.map(({ supply }) => supply))];
  const first = integrals.length === 1 ? integrals[0]!.integral.first : undefined;
  const [supply] = read;
  if (first === undefined || read.length !== 1 || !(walk.supplies[supply!]!.emfSd > 0))
    return shared;
  return { ...shared, emf: shared.emf.map((own, s) => (s === supply ? first : own)) };
}

/** Between what the shared numbers may lie, as wide as the sketch thinks and more. */
function rangeOf(walk: WalkProblem, branch: Branch, look: Look): NuisanceRange {
  const points = look.fits.flatMap(({ mean, root }) => {
    const half = mean.map((_, row) => Math.sqrt(root.reduce((sum, c) => sum + c[row]! ** 2, 0)));
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
    noiseScale: Math.min(...values.map(({ noiseScale }) => noiseScale)),
    sourceOhms: branch.sourceOhms.map((x) => [x, x] as const),
    loadOhms: branch.loadOhms.map((x) => [x, x] as const),
  };
}
