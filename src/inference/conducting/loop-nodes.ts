import type { CircuitModel } from "../chain/circuit-model.ts";
import type { Messages } from "../chain/messages.ts";
import { finiteRule, type Mass, panelIntegral } from "../nuisance/panels.ts";
import type { Hill, MovingLoop } from "./moving-loop.ts";

/** A loop resistance that stands for others, and the mesh laid for it. */
export interface LoopNode {
  readonly loop: MovingLoop;
  /** ln of the ohms that it stands for, where the shared numbers were when it was laid. */
  readonly logWidth: number;
  readonly model: CircuitModel;
}

/** What is integrated over a loop. */
interface LoopIntegrand {
  /** ln of the likelihood of a loop [Ω], per ohm, where nodes are laid. */
  log(loop: number): number;
  /** A loop that stands for others of a hill, for other values of the shared numbers too. */
  lay(loop: number, hill: Pick<Hill, "loop" | "sd">): Pick<LoopNode, "loop" | "model">;
}

/** How well the density of the loop is known before nodes are laid. */
const SETTLED = 0.06;
/** The loop's density is followed down to this, in ln. */
const FAR = 5;
/**
 * Nodes are those of the density to this power: at other values of the shared numbers it may be wider
 * or narrower than where they are laid.
 */
const POWER = 0.65;
/** How many nodes a hill of so much of the whole has, most first. */
type Fineness = readonly { readonly over: number; readonly count: number }[];
const WHOLE: Fineness = [
  { over: 0.1, count: 6 },
  { over: 0.01, count: 3 },
  { over: 1e-4, count: 1 },
];
/** Where others have the whole: a sum over these moves with the shared numbers much as it does. */
const SPARSE: Fineness = [
  { over: 0.1, count: 2 },
  { over: 1e-3, count: 1 },
];
/** How far a hill goes from its middle, in its quartiles' distance; and so far apart is another. */
const HILL = 4;
const MOST_PANELS = 20;
/** ln of the part of the whole under which a density is none. */
const NOTHING = 25;

/** The loops of an integral, and fewer that say nearly the same. */
export interface LoopRules {
  readonly whole: readonly LoopNode[];
  readonly sparse: readonly LoopNode[];
}

/**
 * Loops by which an integral over their resistance D is a sum: Gauss rules of its own density, hill by
 * hill, over y = ln(D - base).
 *
 * @param base What every loop has at least [Ω].
 * @param sketched Where the density is, near enough: values of y, ascending, with parts of it.
 */
export function loopNodes(base: number, sketched: Sketched, integrand: LoopIntegrand): LoopRules {
  const densityAt = (y: number): number => integrand.log(base + Math.exp(y)) + y;
  const integral = panelIntegral(bordersOf(sketched), (ys) => ys.map(densityAt), [], {
    ...{ settled: SETTLED, far: FAR, most: MOST_PANELS },
  });
  const most = Math.max(...integral.masses.map(({ logDensity }) => logDensity));
  const hills = hillsOf(integral.masses).map((hill) => {
    const mass = hill.reduce((sum, one) => sum + one.mass, 0);
    const wider = (log: number): number => Math.exp((POWER - 1) * (log - most));
    const weights = Float64Array.from(hill, (one) => one.mass * wider(one.logDensity));
    const total = weights.reduce((sum, weight) => sum + weight, 0);
    const middle = hill.reduce((sum, { at: y }, i) => sum + (y * weights[i]!) / total, 0);
    const points = Float64Array.from(hill, ({ at: y }) => y - middle);
    const variance = points.reduce((sum, off, i) => sum + (off * off * weights[i]!) / total, 0);
    const width = Math.exp(middle) * Math.sqrt(variance);
    const own = { loop: base + Math.exp(middle), sd: width };
    return { mass, weights, total, middle, points, own };
  });
  const rulesOf = (fineness: Fineness): readonly LoopNode[] =>
    hills.flatMap(({ mass, weights, total, middle, points, own }) => {
      const count = fineness.find(({ over }) => mass > over)?.count ?? 0;
      if (count === 0) return [];
      const rule = finiteRule(points, weights, Math.min(count, points.length));
      return Array.from(rule.nodes).flatMap((off, n): LoopNode[] => {
        const y = middle + off;
        const log = densityAt(y);
        // A node where there is nothing can stand for nothing.
        if (!(log > integral.logMass - NOTHING)) return [];
        // The density is per unit of y; a way is asked per ohm.
        const share = Math.log(rule.weights[n]! * total) + (1 - POWER) * (log - most);
        const logWidth = share + integral.logMass - log + y;
        return [{ logWidth, ...integrand.lay(base + Math.exp(y), own) }];
      });
    });
  let sparse: readonly LoopNode[] | null = null;
  return {
    whole: rulesOf(WHOLE),
    get sparse() {
      sparse ??= rulesOf(SPARSE);
      return sparse;
    },
  };
}

/** Parts a density into hills: a narrow one beside a wide one needs nodes of its own. */
function hillsOf(masses: readonly Mass[]): readonly (readonly Mass[])[] {
  const total = masses.reduce((sum, { mass }) => sum + mass, 0);
  if (!(total > 0) || masses.length < 2) return masses.length > 0 ? [masses] : [];
  const quartile = (p: number): number => {
    let sum = 0;
    for (const { at, mass } of masses) {
      sum += mass;
      if (sum >= p * total) return at;
    }
    return masses.at(-1)!.at;
  };
  const [low, middle, high] = [quartile(0.25), quartile(0.5), quartile(0.75)];
  const reach = HILL * Math.max(high - low, 1e-9);
  const inside = masses.filter(({ at }) => Math.abs(at - middle) <= reach);
  if (inside.length === masses.length) return [masses];
  return [
    inside,
    ...[
      masses.filter(({ at }) => at < middle - reach),
      masses.filter(({ at }) => at > middle + reach),
    ]
      .filter((side) => side.length > 0)
      .flatMap((side) => hillsOf(side)),
  ];
}

type Sketched = readonly { readonly y: number; readonly share: number }[];

function quantileOf(sketched: Sketched, p: number): number {
  let sum = 0;
  for (const { y, share } of sketched) {
    sum += share;
    if (sum >= p) return y;
  }
  return sketched.at(-1)!.y;
}

/** Parts of the sketch under which the loop's panels end at first. */
const QUANTILES = [0.005, 0.05, 0.35, 0.65, 0.95, 0.995];
/** Borders nearer to each other than this part of all are one. */
const SAME = 1e-3;

/** Where the loop's panels end at first: narrow where the sketch has its hills. */
function bordersOf(sketched: Sketched): readonly number[] {
  const inner = QUANTILES.map((p) => quantileOf(sketched, p));
  const [low, high] = [inner[0]!, inner.at(-1)!];
  const pad = Math.max(0.05, 0.25 * (high - low));
  const all = [low - pad, ...inner, high + pad];
  return all.filter((y, i) => i === 0 || y - all[i - 1]! > SAME * (high - low + pad));
}

/** ln of a circuit's likelihood, its bodies' states by their prior chances. */
export function logMixed({ likelihood, logScale }: Messages, chances: Float64Array): number {
  const mixed = likelihood.reduce((sum, x, c) => sum + x * chances[c]!, 0);
  return Math.log(Math.max(mixed, Number.MIN_VALUE)) + logScale;
}
