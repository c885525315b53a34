import { fitProposal, type Proposal, type SharedPoint, sharedPoints } from "./even-points.ts";
import type { Leaf } from "./path-states.ts";
import { type Choice, sharedAt } from "./shared-choices.ts";
import { contextOf, type ReadyWalk, sumCircuits, sumOverAll } from "./walk-sums.ts";

/** How finely to integrate. */
export interface Fineness {
  /** Points for the shared numbers, a power of two, for each way of choosing between atoms. */
  readonly points: number;
  /** Draws of each circuit's resistances at each of them. */
  readonly draws: number;
  /** Other points of the same evenness. */
  readonly shift: number;
}

/** A first look at one choice: where its shared numbers lie, its evidence, and what matters. */
export interface Look {
  /** Laws around what all states say, and around what the sound ones alone say. */
  readonly proposals: readonly Proposal[];
  readonly evidence: number;
  /** Equal weights that its points are worth, over their number. */
  readonly worth: number;
  /** Share of the evidence that goes through each leaf; [circuit][leaf]. */
  readonly shares: readonly (readonly number[])[];
}

const everyLeaf = (ready: ReadyWalk): number[][] =>
  ready.circuits.map(({ leaves, priors }) =>
    leaves.flatMap((_, leaf) => (priors.some((ofMask) => ofMask[leaf]! > 0) ? [leaf] : [])),
  );

/** Points that a law over so many axes must rest on. */
const enoughFor = (axes: number): number => 3 * (axes + 1);

/** How many equal weights these are worth. */
const worthOf = (weights: readonly number[]): number => {
  const sum = weights.reduce((a, b) => a + b, 0);
  return sum === 0 ? 0 : sum ** 2 / weights.reduce((a, b) => a + b * b, 0);
};

/**
 * The points' weights with what the readings say raised to a power up to 1, so that they are not a
 * handful of points' own; the prior keeps its word.
 */
const tempered = (
  points: readonly SharedPoint[],
  weights: readonly number[],
  enough: number,
): number[] => {
  const said = weights.map((w, n) => w / points[n]!.weight);
  const most = Math.max(...said);
  for (let power = 1; power > 0.005; power *= 0.8) {
    const flat = said.map((l, n) => points[n]!.weight * (l / most) ** power);
    if (worthOf(flat) >= enough) return flat;
  }
  return points.map(({ weight }) => weight);
};

/** The leaf of a path on which nothing is wrong. */
const isSound = ({ finite, cut, shunt }: Leaf): boolean =>
  !cut && shunt === null && finite.every((state) => state === "s");

/** One law for each kind of weight. A narrow ridge of the sound states may cross all the others. */
const lawsAround = (
  axes: number,
  points: readonly SharedPoint[],
  weights: readonly (readonly number[])[],
): Proposal[] =>
  axes === 0
    ? []
    : weights
        .filter((kind) => Math.max(...kind) > 0)
        .map((kind) => fitProposal(points, tempered(points, kind, enoughFor(axes)), 1.4));

const lookAt = (
  ready: ReadyWalk,
  choice: Choice,
  proposals: readonly Proposal[],
  used: readonly (readonly number[])[],
  { points: count, draws, shift }: Fineness,
  blur = 1,
): Look => {
  const points = sharedPoints(choice.axes.length, proposals, count, shift);
  const shares = ready.circuits.map(({ leaves }) => leaves.map(() => 0));
  const sound = ready.circuits.map(({ leaves }) => leaves.findIndex(isSound));
  const ofSound: number[] = [];
  const weights = points.map(({ z, weight }, n) => {
    const shared = sharedAt(choice, z);
    const blurred = { ...shared, tau: blur * shared.tau };
    const at = sumCircuits(ready, blurred, used, draws, n + 7919 * (shift + 1));
    ready.circuits.forEach(({ priors }, c) => {
      const context = contextOf(ready, at, c);
      context.forEach((masks, v) => {
        masks.forEach((other, mask) => {
          at[c]!.leafMeans[v]!.forEach((mean, leaf) => {
            shares[c]![leaf]! += weight * other * priors[mask]![leaf]! * mean;
          });
        });
      });
    });
    const soundOne = (c: number, v: number, mask: number): number =>
      ready.circuits[c]!.priors[mask]![sound[c]!]! * at[c]!.leafMeans[v]![sound[c]!]!;
    ofSound.push(weight * sumOverAll(ready, soundOne));
    return weight * sumOverAll(ready, (c, v, mask) => at[c]!.totals[v]![mask]!);
  });
  const total = weights.reduce((a, b) => a + b, 0);
  return {
    proposals: lawsAround(choice.axes.length, points, [weights, ofSound]),
    evidence: (choice.prior * total) / points.length,
    worth: worthOf(weights) / points.length,
    shares: shares.map((leaves) => leaves.map((share) => share / total)),
  };
};

/** Leaves and choices under this share of the evidence are left out. */
export const negligible = 1e-6;

/** How many times fewer points a choice of this share of the evidence gets. */
export const thinner = (share: number): number => (share > 0.03 ? 1 : share > 1e-3 ? 4 : 16);

export const leavesOver = ({ shares }: Look, least: number): number[][] =>
  shares.map((ofLeaves) => ofLeaves.flatMap((share, leaf) => (share > least ? [leaf] : [])));

/** Looks, each where the one before found something; the last ones at likely leaves only. */
export const lookAround = (ready: ReadyWalk, choice: Choice, shift: number): Look => {
  const all = everyLeaf(ready);
  const { axes } = choice;
  let look: Look = {
    proposals: [
      {
        mean: axes.map(() => 0),
        root: axes.map(({ wide }, i) => axes.slice(0, i + 1).map((_, j) => (i === j ? wide : 0))),
      },
    ],
    evidence: 0,
    worth: 0,
    shares: [],
  };
  // As through a noisy meter first, so that a narrow ridge is found from afar.
  const quick = { points: 128, draws: 3 };
  [16, 8, 4, 2, 1, 1].forEach((blur, i) => {
    look = lookAt(ready, choice, look.proposals, all, { ...quick, shift: shift + i }, blur);
  });
  for (let i = 13; i <= 14; i++) {
    const likely = leavesOver(look, negligible / 30);
    look = lookAt(ready, choice, look.proposals, likely, {
      points: 256,
      draws: 4,
      shift: shift + i,
    });
  }
  return look;
};

/** How many times more points a choice needs whose looks were worth so little. */
export const thicker = (worth: number): number => (worth > 0.2 ? 1 : worth > 0.05 ? 2 : 4);
