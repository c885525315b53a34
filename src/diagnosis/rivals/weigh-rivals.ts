import type { RivalKind } from "../../domain/explanation-kinds.ts";
import { FOULED, INTERMITTENT, OPEN } from "../../inference/chain/adjoint.ts";
import type { Shelf } from "../../inference/chain/circuit-model.ts";
import type { Asked } from "../../inference/circuit-sums.ts";
import { infer, type WalkInference } from "../../inference/infer.ts";
import type { WalkProblem } from "../../inference/problem.ts";
import { logSum } from "../../numerics/log-sum.ts";
import { type WalkFit, walkFit } from "../fit/walk-fit.ts";
import { averaged } from "./average.ts";
import { mixedUp } from "./mixed-up.ts";
import type { Rival } from "./rival.ts";
import { movingSupply } from "./supply-scan.ts";

/** A walk with its rivals weighed in: what it says, how it fits, and what else may be so. */
export interface WeighedWalk {
  readonly found: WalkInference;
  /** What walks after it are told: rivals have a part in it only where the walk fits doubtfully. */
  readonly told: WalkInference;
  /** Null: not asked. */
  readonly fit: WalkFit | null;
  readonly rivals: readonly { readonly rival: Rival; readonly probability: number }[];
}

/** Rivals are asked for where a walk fits no better than this, or a contact is accused. */
const DOUBTFUL_FIT = 0.2;
const ACCUSED = 0.5;
/** A rival is worth an exact run from this estimated odds on; so many runs a walk at most. */
const WORTH = Math.log(0.01);
const MOST_RUNS = 4;
/** Rivals less likely than this together leave the findings as they are. */
const LEAST = 1e-3;

/** Who looks for a kind of rival; one search may find several. */
const searches: Readonly<Record<RivalKind, typeof movingSupply>> = {
  "supply-steps": movingSupply,
  "supply-drifts": movingSupply,
  "points-swapped": mixedUp,
  "rows-swapped": mixedUp,
  crossed: mixedUp,
};

/**
 * Weighs the model as it stands against its rivals, each by an exact inference of its own:
 *
 *     P(rival | readings) = odds e^(logEvidence + logSpread) / (sum over rivals, and the model itself)
 *
 * and averages what the walk says over them. The fit is that of the average.
 *
 * @param asked With "readings", `told` and `fit` alone are wanted.
 */
export function weighRivals(problem: WalkProblem, shelf: Shelf, asked: Asked = "all"): WeighedWalk {
  const plain = infer(problem, shelf, asked);
  const fit = walkFit(problem, plain.readings);
  const unasked = { found: plain, told: plain, fit, rivals: [] };
  const fits = fit.p >= DOUBTFUL_FIT;
  if (fits && (asked === "readings" || !isAnyAccused(plain))) return unasked;
  const { nuisance } = plain.nodes.reduce((a, b) => (b.alone > a.alone ? b : a));
  const worthy = [...new Set(Object.values(searches))]
    .flatMap((search) => search(problem, nuisance))
    .filter(({ logOdds, logRatio }) => logOdds + logRatio > WORTH)
    .sort((a, b) => b.logOdds + b.logRatio - a.logOdds - a.logRatio)
    .slice(0, MOST_RUNS)
    .map((rival) => {
      const found = infer(rival.problem, shelf, asked);
      return { rival, found, log: rival.logOdds + rival.logSpread + found.logEvidence };
    });
  const total = logSum([plain.logEvidence, ...worthy.map(({ log }) => log)]);
  const rivals = worthy.map(({ rival, found, log }) => ({
    rival,
    found,
    probability: Math.exp(log - total),
  }));
  const rest = Math.exp(plain.logEvidence - total);
  if (1 - rest < LEAST) return { ...unasked, rivals };
  const mean = averaged([{ found: plain, probability: rest }, ...rivals]);
  const found = { ...mean, logEvidence: total };
  return { found, told: fits ? plain : found, fit: walkFit(problem, found.readings), rivals };
}

const isAnyAccused = ({ bodyAtFault, circuits }: WalkInference): boolean =>
  [...bodyAtFault.values()].some((p) => p >= ACCUSED) ||
  circuits.some(({ states }) =>
    states.some((own) => own[FOULED]! + own[OPEN]! + own[INTERMITTENT]! >= ACCUSED),
  );
