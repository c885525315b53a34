import type { WaysSum } from "./circuit-evidence.ts";
import type { Nest } from "./nest/nest.ts";
import { type NestSum, sumNest } from "./nest/nest-sum.ts";
import type { ZeroRun } from "./problem.ts";
import { offIn, type Stretch, stretchesOf } from "./zero-runs.ts";

/** A walk at one value of its shared numbers. */
export interface WalkNode {
  /** ln P(all displayed values | the shared numbers). */
  readonly logLikelihood: number;
  /** What displays were off across circuits: each with its probability. */
  readonly displays: readonly DisplayCase[];
}

/** One explanation of the zeros that several circuits share. */
export interface DisplayCase {
  readonly probability: number;
  /** Readings that were off, of shared runs. */
  readonly off: readonly number[];
  readonly circuits: readonly WaysSum[];
  readonly sum: NestSum;
}

/** A case of less than this part of the likeliest one's weight is left out. */
const LEFT_OUT = 1e-7;

/**
 * Sums the bodies out, and over the runs of zeros that several circuits share.
 *
 * @param waysOf A circuit's readings for zeros that were off; asked once for each set of them.
 */
export function walkNode(
  nest: Nest,
  shared: readonly ZeroRun[],
  count: number,
  waysOf: (circuit: number, off: readonly number[]) => WaysSum,
): WalkNode {
  const cases = jointStretches(shared).map(({ chance, off }) => {
    const circuits = Array.from({ length: count }, (_, c) => waysOf(c, off));
    const bound = circuits.reduce(
      (sum, { logScale, values }) => sum + logScale + Math.log(Math.max(...values)),
      Math.log(chance),
    );
    return { chance, off, circuits, bound };
  });
  const best = Math.max(...cases.map(({ bound }) => bound));
  const kept = cases
    .filter(({ bound }) => bound > best + Math.log(LEFT_OUT))
    .map((one) => ({ sum: sumNest(nest, one.circuits), ...one }));
  const logs = kept.map(({ chance, sum }) => Math.log(chance) + sum.logLikelihood);
  const most = Math.max(...logs);
  const total = logs.reduce((sum, log) => sum + Math.exp(log - most), 0);
  return {
    logLikelihood: most + Math.log(total),
    displays: kept.map(({ off, circuits, sum }, i) => ({
      probability: Math.exp(logs[i]! - most) / total,
      off,
      circuits,
      sum,
    })),
  };
}

/** Every choice of one stretch a run. */
function jointStretches(
  runs: readonly ZeroRun[],
): readonly { readonly chance: number; readonly off: readonly number[] }[] {
  return runs.reduce<readonly { chance: number; off: readonly number[] }[]>(
    (sofar, run) =>
      sofar.flatMap((one) =>
        stretchesOf(run).map((stretch: Stretch) => ({
          chance: one.chance * stretch.chance,
          off: [...one.off, ...offIn(run, stretch)],
        })),
      ),
    [{ chance: 1, off: [] }],
  );
}
