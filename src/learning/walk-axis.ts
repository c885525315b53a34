import type { WalkProblem } from "../inference/problem.ts";
import type { WalkNode } from "../inference/walk-node.ts";
import { logSum } from "../numerics/log-sum.ts";
import type { SummedWalk } from "./circuit-axis.ts";
import { noiseEvidence } from "./noise-profile.ts";
import { apartOf, fromScale, type PoolNumber, toScale } from "./pool-numbers.ts";
import { nodesBeside, nodesOf, posedBy, type StandingWalk } from "./standing-walk.ts";

/** A number that changes a walk as a whole: ln of the likelihood is a parabola on its scale. */
export interface WalkAxis {
  readonly key: string;
  /** Where on its scale. */
  readonly at: number;
  readonly apart: number;
  /** ln of the likelihood over that there, `apart` down and up the scale. */
  readonly logs: readonly [down: number, up: number];
}

/** A parabola still holds for a number that has moved less than this on its scale. */
const NEAR = 0.25;

export function walkAxes(
  sum: SummedWalk,
  numbers: readonly PoolNumber[],
  before: readonly WalkAxis[],
): readonly WalkAxis[] {
  let beside: Beside | null = null;
  const besideBase = (): Beside => {
    beside ??= nodesBeside(sum.standing, sum.standing.problem);
    return beside;
  };
  return numbers.flatMap((number): readonly WalkAxis[] => {
    const { key, value, reach } = number;
    if (reach !== "walk" && reach !== "noise") return [];
    const at = toScale(number, value);
    const known = before.find((one) => one.key === key);
    if (known !== undefined && Math.abs(known.at - at) < NEAR) return [known];
    const apart = apartOf(number);
    const logAt = (off: number): number => {
      if (reach === "noise") return noiseLog(sum.standing, sum.pool.model.noiseLogSd, off);
      const changed = number.set(sum.pool, fromScale(number, at + off));
      const problem = posedBy(sum.standing, changed);
      const same = reach === "walk" && isSame(problem, sum.standing.problem);
      return same ? 0 : walkLog(sum, problem, besideBase());
    };
    return [{ key, at, apart, logs: [logAt(-apart), logAt(apart)] }];
  });
}

type Beside = ReturnType<typeof nodesBeside>;

const isSame = (a: WalkProblem, b: WalkProblem): boolean => JSON.stringify(a) === JSON.stringify(b);

/** Of a meter whose stated noise is e^off as large. */
function noiseLog({ noise, stated }: StandingWalk, walkSd: number, off: number): number {
  return noiseEvidence(noise, walkSd, stated + off) - noiseEvidence(noise, walkSd, stated);
}

/**
 * ln of a changed walk's likelihood over the present one's, the supply's EMF (and with several meters
 * the noise) moving along: with z its distance from its mean in standard deviations and ln of the
 * ratio c + b z + d z^2 / 2,
 *
 *     E[e^(c + b z + d z^2 / 2)] = exp(c + b^2 / (2 (1 - d))) / sqrt(1 - d)
 */
function walkLog({ standing, base }: SummedWalk, problem: WalkProblem, beside: Beside): number {
  const ratio = (now: WalkNode, then: WalkNode): number => now.logLikelihood - then.logLikelihood;
  const logs = nodesOf(standing, problem).map((node, n) => ratio(node, base[n]!));
  const middle = logSum(logs.map((log, n) => log + Math.log(standing.places[n]!.weight)));
  return nodesBeside(standing, problem).reduce((sum, [down, up], s) => {
    const [low, high] = [ratio(down, beside[s]![0]), ratio(up, beside[s]![1])];
    const b = (high - low) / 2;
    const d = Math.min(MOST_BENT, high + low - 2 * middle);
    return sum + (b * b) / (2 * (1 - d)) - 0.5 * Math.log(1 - d);
  }, middle);
}

/** A likelihood never widens as much as to leave the supply unknown. */
const MOST_BENT = 0.9;
