import type { Estimate } from "../domain/findings.ts";
import { type EmfPosterior, logNormalDensity } from "./emf-node.ts";
import type { EmfRange } from "./emf-pilot.ts";
import { gaussLegendre } from "./gauss-legendre.ts";
import { polynomial, polynomialThrough } from "./polynomial.ts";

const RULE = gaussLegendre(6);
/** A panel is settled when halving it changes the whole by less than this part. */
const SETTLED = 3e-5;
const DEEPEST = 14;
/** Nodes of less weight than this say nothing. */
const NEGLIGIBLE = 1e-6;

/** A stretch of EMF with its Gauss-Legendre nodes. */
interface Panel<Evidence> {
  readonly low: number;
  readonly high: number;
  readonly depth: number;
  readonly points: readonly {
    readonly emf: number;
    readonly evidence: Evidence;
    readonly logDensity: number;
  }[];
}

/**
 * Integrates over the EMF whatever the shape of its posterior: a narrow peak where the path is
 * sound, on a slope as broad as the prior where its first connector may be fouled, or a box where
 * the display is coarse. Panels between the seeds and the prior's own marks are halved until that
 * no longer changes the whole; each level is evaluated at once.
 */
export function panelPosterior<Evidence extends { readonly logLikelihood: number }>(
  prior: { readonly mean: number; readonly sd: number },
  range: EmfRange,
  evaluate: (emfs: readonly number[]) => readonly Evidence[],
): EmfPosterior<Evidence> {
  const lay = (stretches: readonly { low: number; high: number; depth: number }[]) => {
    const emfs = stretches.flatMap(({ low, high }) =>
      Array.from(RULE.nodes, (x) => (low + high + (high - low) * x) / 2),
    );
    const points = evaluate(emfs).map((evidence, n) => {
      const emf = emfs[n]!;
      return { emf, evidence, logDensity: evidence.logLikelihood + logNormalDensity(emf, prior) };
    });
    const per = RULE.nodes.length;
    return stretches.map(
      (stretch, i): Panel<Evidence> => ({
        ...stretch,
        points: points.slice(i * per, (i + 1) * per),
      }),
    );
  };
  let open = lay(stretchesOf(borders(prior, range), 0));
  let most = largest(open);
  const settled: Panel<Evidence>[] = [];
  while (open.length > 0) {
    const halves = lay(open.flatMap(halvesOf));
    most = Math.max(most, largest(halves));
    const total = [...settled, ...halves].reduce((sum, panel) => sum + massOf(panel, most), 0);
    const next: Panel<Evidence>[] = [];
    for (const [i, panel] of open.entries()) {
      const pair = [halves[2 * i]!, halves[2 * i + 1]!];
      const change = massOf(pair[0]!, most) + massOf(pair[1]!, most) - massOf(panel, most);
      const done = Math.abs(change) < SETTLED * total || panel.depth === DEEPEST;
      (done ? settled : next).push(...pair);
    }
    open = next;
  }
  return posteriorOf(settled, most);
}

/** Where panels end at first: around each seed, and by the prior's standard deviations. */
function borders(
  prior: { readonly mean: number; readonly sd: number },
  range: EmfRange,
): readonly number[] {
  const marks = [-6, -4, -2, 0, 2, 4, 6].map((z) => prior.mean + z * prior.sd);
  for (const { emf, sd } of range.seeds) {
    for (const z of [-16, -8, -4, -2, 0, 2, 4, 8, 16]) marks.push(emf + z * sd);
  }
  const low = Math.min(range.low, prior.mean - 6 * prior.sd);
  const high = Math.max(range.high, prior.mean + 6 * prior.sd);
  const inside = marks.filter((mark) => mark > low && mark < high);
  const sorted = [low, ...inside.sort((a, b) => a - b), high];
  const least = 0.5 * Math.min(...range.seeds.map(({ sd }) => sd));
  return sorted.filter(
    (mark, i) => i === 0 || i + 1 === sorted.length || mark - sorted[i - 1]! > least,
  );
}

const stretchesOf = (marks: readonly number[], depth: number) =>
  marks.slice(1).map((high, i) => ({ low: marks[i]!, high, depth }));

function halvesOf({ low, high, depth }: Panel<unknown>) {
  return stretchesOf([low, (low + high) / 2, high], depth + 1);
}

const largest = (panels: readonly Panel<unknown>[]): number =>
  Math.max(...panels.flatMap(({ points }) => points.map(({ logDensity }) => logDensity)));

/** Integral of exp(log density - most) over a panel. */
function massOf({ low, high, points }: Panel<unknown>, most: number): number {
  const sum = points.reduce(
    (total, { logDensity }, k) => total + RULE.weights[k]! * Math.exp(logDensity - most),
    0,
  );
  return (sum * (high - low)) / 2;
}

function posteriorOf<Evidence>(
  panels: readonly Panel<Evidence>[],
  most: number,
): EmfPosterior<Evidence> {
  const ordered = [...panels].sort((a, b) => a.low - b.low);
  const total = ordered.reduce((sum, panel) => sum + massOf(panel, most), 0);
  const nodes = ordered.flatMap(({ low, high, points }) =>
    points.map(({ emf, evidence, logDensity }, k) => ({
      emf,
      evidence,
      weight: (RULE.weights[k]! * Math.exp(logDensity - most) * (high - low)) / 2 / total,
    })),
  );
  return {
    nodes: nodes.filter(({ weight }) => weight > NEGLIGIBLE),
    logEvidence: most + Math.log(total),
    estimate: estimateOf(ordered, most, total),
  };
}

/** Median and 90 % interval: in each panel the density is the polynomial through its nodes. */
function estimateOf(panels: readonly Panel<unknown>[], most: number, total: number): Estimate {
  const quantile = (p: number): number => {
    let below = 0;
    for (const panel of panels) {
      const mass = massOf(panel, most);
      if (below + mass >= p * total) return placeIn(panel, most, p * total - below);
      below += mass;
    }
    return panels.at(-1)!.high;
  };
  return { median: quantile(0.5), low: quantile(0.05), high: quantile(0.95) };
}

function placeIn({ low, high, points }: Panel<unknown>, most: number, target: number): number {
  const half = (high - low) / 2;
  const density = polynomialThrough(
    Array.from(RULE.nodes),
    points.map(({ logDensity }) => Math.exp(logDensity - most) * half),
  );
  const integral = [0, ...density.map((c, n) => c / (n + 1))];
  const start = polynomial(integral, -1);
  let [left, right] = [-1, 1];
  for (let turn = 0; turn < 40; turn++) {
    const middle = (left + right) / 2;
    if (polynomial(integral, middle) - start < target) left = middle;
    else right = middle;
  }
  return low + half * (1 + left);
}
