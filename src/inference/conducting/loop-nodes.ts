import type { CircuitModel } from "../chain/circuit-model.ts";
import type { Messages } from "../chain/messages.ts";
import { panelIntegral } from "../nuisance/panels.ts";

/** A loop resistance that stands for others, and the mesh laid for it. */
export interface LoopNode {
  readonly ohms: number;
  /** ln of the ohms that it stands for. */
  readonly logWidth: number;
  readonly model: CircuitModel;
}

/** How many loops stand for all, and how well the density of the loop is known before that. */
const LOOPS = 6;
const SETTLED = 0.03;
/** The loop's density is followed down to this, in ln. */
const FAR = 5;

const MOST_PANELS = 24;
/** ln of the part of the whole under which a density is none. */
const NOTHING = 25;

/**
 * Loops by which an integral over their resistance D is a sum: the Gauss rule of its own density,
 * over y = ln(D - base).
 *
 * @param base What every loop has at least [Ω].
 * @param sketched Where the density is, near enough: values of y, ascending, with parts of it.
 * @param at ln of the likelihood of a loop, per ohm, and its mesh.
 */
export function loopNodes(
  base: number,
  sketched: readonly { readonly y: number; readonly share: number }[],
  at: (loop: number) => { readonly log: number; readonly model: CircuitModel },
): readonly LoopNode[] {
  const known = new Map<number, { readonly log: number; readonly model: CircuitModel }>();
  const densityAt = (y: number): { readonly log: number; readonly model: CircuitModel } => {
    let found = known.get(y);
    if (found === undefined) {
      const { log, model } = at(base + Math.exp(y));
      found = { log: log + y, model };
      known.set(y, found);
    }
    return found;
  };
  const integral = panelIntegral(
    bordersOf(sketched),
    (ys) => ys.map((y) => densityAt(y).log),
    () => LOOPS,
    { settled: SETTLED, far: FAR, most: MOST_PANELS },
  );
  return Array.from(integral.rule.nodes).flatMap((y, n) => {
    const { log, model } = densityAt(y);
    // A node where there is nothing can stand for nothing.
    if (!(log > integral.logMass - NOTHING)) return [];
    // The density is per unit of y; a way is asked per ohm.
    const logWidth = Math.log(integral.rule.weights[n]!) + integral.logMass - log + y;
    return [{ ohms: base + Math.exp(y), logWidth, model }];
  });
}

/** Where the loop's panels end at first: quantiles of the sketch. */
function bordersOf(
  logs: readonly { readonly y: number; readonly share: number }[],
): readonly number[] {
  const quantile = (p: number): number => {
    let sum = 0;
    for (const { y, share } of logs) {
      sum += share;
      if (sum >= p) return y;
    }
    return logs.at(-1)!.y;
  };
  const [low, middle, high] = [quantile(0.005), quantile(0.5), quantile(0.995)];
  const pad = Math.max(0.05, 0.25 * (high - low));
  return [low - pad, middle, high + pad];
}

/** ln of a circuit's likelihood, its bodies' states by their prior chances. */
export function logMixed({ likelihood, logScale }: Messages, chances: Float64Array): number {
  const mixed = likelihood.reduce((sum, x, c) => sum + x * chances[c]!, 0);
  return Math.log(Math.max(mixed, Number.MIN_VALUE)) + logScale;
}
