import { fitProposal, type Proposal, sharedPoints } from "./even-points.ts";
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
  readonly proposal: Proposal | null;
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

/** Weights to a power up to 1, so that they are not a handful of points' own. */
const tempered = (weights: readonly number[], enough: number): number[] => {
  const most = Math.max(...weights);
  for (let power = 1; power > 0.02; power *= 0.8) {
    const flat = weights.map((w) => (w / most) ** power);
    if (worthOf(flat) >= enough) return flat;
  }
  return weights.map(() => 1);
};

const lookAt = (
  ready: ReadyWalk,
  choice: Choice,
  proposal: Proposal | null,
  used: readonly (readonly number[])[],
  { points: count, draws, shift }: Fineness,
): Look => {
  const points = sharedPoints(choice.axes.length, proposal, count, shift);
  const shares = ready.circuits.map(({ leaves }) => leaves.map(() => 0));
  const weights = points.map(({ z, weight }, n) => {
    const at = sumCircuits(ready, sharedAt(choice, z), used, draws, n + 7919 * (shift + 1));
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
    return weight * sumOverAll(ready, (c, v, mask) => at[c]!.totals[v]![mask]!);
  });
  const total = weights.reduce((a, b) => a + b, 0);
  return {
    proposal:
      choice.axes.length > 0
        ? fitProposal(points, tempered(weights, enoughFor(choice.axes.length)), 1.4)
        : null,
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
    proposal: {
      mean: axes.map(() => 0),
      root: axes.map(({ wide }, i) => axes.slice(0, i + 1).map((_, j) => (i === j ? wide : 0))),
    },
    evidence: 0,
    worth: 0,
    shares: [],
  };
  const quick = { points: 256, draws: 2 };
  for (let i = 1; i <= 12 && (i <= 3 || look.worth * quick.points < 50); i++) {
    look = lookAt(ready, choice, look.proposal, all, { ...quick, shift: shift + i });
  }
  for (let i = 13; i <= 14; i++) {
    const likely = leavesOver(look, negligible / 30);
    look = lookAt(ready, choice, look.proposal, likely, {
      points: 512,
      draws: 4,
      shift: shift + i,
    });
  }
  return look;
};

/** How many times more points a choice needs whose looks were worth so little. */
export const thicker = (worth: number): number => (worth > 0.2 ? 1 : worth > 0.05 ? 2 : 4);
