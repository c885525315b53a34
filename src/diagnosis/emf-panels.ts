import type { Estimate } from "../domain/findings.ts";
import { gaussLegendre, legendre } from "../numerics/gauss-legendre.ts";
import { condensedRule } from "../numerics/gauss-rule.ts";
import { integralOf, polynomialThrough, whereReached } from "../numerics/polynomial.ts";
import { type EmfPosterior, logNormalDensity } from "./emf-node.ts";
import type { EmfRange } from "./emf-pilot.ts";

const RULE = gaussLegendre(8);
/** A panel is settled when its density's highest terms are less than this part of the whole. */
const SETTLED = 1e-3;
/** A panel of less mass than this part of the whole need not be looked into. */
const NEGLIGIBLE = 1e-7;
const DEEPEST = 12;
/** The ends of the range are far enough out where the density is this far under its largest, in ln. */
const FAR = 11;

/** A stretch of EMF, and the log density at its Gauss-Legendre nodes. */
interface Panel {
  readonly low: number;
  readonly high: number;
  readonly depth: number;
  readonly emfs: readonly number[];
  readonly logDensity: readonly number[];
}

/**
 * Integrates over the EMF whatever the shape of its posterior: a narrow peak where the path is
 * sound, on a slope as broad as the prior where its first connector may be fouled, or a box where
 * the display is coarse. Panels are halved until the density is a polynomial in each; then a Gauss
 * rule of the posterior itself stands for all of them, and only its nodes are evaluated whole. `noise` is the smallest of the meters' [V].
 */
export function panelPosterior<Evidence extends { readonly logLikelihood: number }>(
  prior: { readonly mean: number; readonly sd: number },
  range: EmfRange,
  noise: number,
  logLikelihoods: (emfs: readonly number[]) => readonly number[],
  evaluate: (emfs: readonly number[]) => readonly Evidence[],
): EmfPosterior<Evidence> {
  const lay = (stretches: readonly Stretch[]): readonly Panel[] => {
    const emfs = stretches.map(({ low, high }) =>
      Array.from(RULE.nodes, (x) => (low + high + (high - low) * x) / 2),
    );
    const found = logLikelihoods(emfs.flat());
    const per = RULE.nodes.length;
    return stretches.map((stretch, i) => ({
      ...stretch,
      emfs: emfs[i]!,
      logDensity: emfs[i]!.map((emf, k) => found[i * per + k]! + logNormalDensity(emf, prior)),
    }));
  };
  const panels = settledPanels(prior, range, lay);
  const most = largest(panels);
  const total = panels.reduce((sum, panel) => sum + massOf(panel, most), 0);
  const estimate = estimateOf(panels, most, total);
  const rule = posteriorRule(panels, most, noise);
  const evidence = evaluate(Array.from(rule.nodes));
  return {
    nodes: evidence.map((one, n) => ({
      emf: rule.nodes[n]!,
      evidence: one,
      weight: rule.weights[n]!,
    })),
    logEvidence: most + Math.log(total),
    estimate,
  };
}

interface Stretch {
  readonly low: number;
  readonly high: number;
  readonly depth: number;
}

/** Halves panels until each is settled, and lays more where the posterior goes on; in order. */
function settledPanels(
  prior: { readonly mean: number; readonly sd: number },
  range: EmfRange,
  lay: (stretches: readonly Stretch[]) => readonly Panel[],
): readonly Panel[] {
  const settled: Panel[] = [];
  let open = lay(stretchesOf(borders(range), 0));
  while (open.length > 0) {
    const all = [...settled, ...open].sort((a, b) => a.low - b.low);
    const most = largest(all);
    const total = all.reduce((sum, panel) => sum + massOf(panel, most), 0);
    const next: Stretch[] = [];
    for (const panel of open) {
      if (isSettled(panel, most, total)) settled.push(panel);
      else next.push(...halvesOf(panel));
    }
    const [first, last] = [all[0]!, all.at(-1)!];
    const { low, high } = { low: first.low, high: last.high };
    if (first.logDensity[0]! > most - FAR) next.push({ low: low - prior.sd, high: low, depth: 0 });
    if (last.logDensity.at(-1)! > most - FAR)
      next.push({ low: high, high: high + prior.sd, depth: 0 });
    open = lay(next);
  }
  return settled.sort((a, b) => a.low - b.low);
}

/** Where panels end at first: around each seed, so close that a normal there needs no halving. */
function borders({ low, high, seeds }: EmfRange): readonly number[] {
  const marks = seeds.flatMap(({ emf, sd }) =>
    [-2.5, -1.25, 0, 1.25, 2.5].map((z) => emf + z * sd),
  );
  const inside = marks.filter((mark) => mark > low && mark < high);
  const sorted = [low, ...inside.sort((a, b) => a - b), high];
  const least = Math.min(...seeds.map(({ sd }) => sd));
  return sorted.filter(
    (mark, i) => i === 0 || i + 1 === sorted.length || mark - sorted[i - 1]! > least,
  );
}

const stretchesOf = (marks: readonly number[], depth: number): readonly Stretch[] =>
  marks.slice(1).map((high, i) => ({ low: marks[i]!, high, depth }));

const halvesOf = ({ low, high, depth }: Stretch): readonly Stretch[] =>
  stretchesOf([low, (low + high) / 2, high], depth + 1);

/** Whether the last two of the density's Legendre coefficients are negligible. */
function isSettled(panel: Panel, most: number, total: number): boolean {
  const { low, high, depth, logDensity } = panel;
  if (depth === DEEPEST || massOf(panel, most) < NEGLIGIBLE * total) return true;
  const density = logDensity.map((value) => Math.exp(value - most));
  const degree = RULE.nodes.length - 1;
  const last = [degree, degree - 1].map((n) => {
    const sum = density.reduce(
      (part, value, k) => part + value * RULE.weights[k]! * legendre(n, RULE.nodes[k]!).value,
      0,
    );
    return Math.abs(sum) * (n + 0.5);
  });
  return Math.max(...last) * (high - low) < SETTLED * total;
}

const largest = (panels: readonly Panel[]): number =>
  Math.max(...panels.flatMap(({ logDensity }) => logDensity));

/** Integral of exp(log density - most) over a panel. */
function massOf({ low, high, logDensity }: Panel, most: number): number {
  const sum = logDensity.reduce(
    (total, value, k) => total + RULE.weights[k]! * Math.exp(value - most),
    0,
  );
  return (sum * (high - low)) / 2;
}

/** Gauss nodes of the posterior, close enough together for one reading's noise. */
function posteriorRule(panels: readonly Panel[], most: number, noise: number) {
  const points = Float64Array.from(panels.flatMap(({ emfs }) => emfs));
  const weights = Float64Array.from(
    panels.flatMap(({ low, high, logDensity }) =>
      logDensity.map((value, k) => RULE.weights[k]! * Math.exp(value - most) * (high - low)),
    ),
  );
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  const mean = points.reduce((sum, emf, i) => sum + (emf * weights[i]!) / total, 0);
  const variance = points.reduce(
    (sum, emf, i) => sum + ((emf - mean) ** 2 * weights[i]!) / total,
    0,
  );
  const counts = weights.reduce((count, weight) => count + (weight > 1e-9 * total ? 1 : 0), 0);
  const count = Math.min(counts, Math.ceil(6 + (12 * Math.sqrt(variance)) / noise));
  const z = points.map((emf) => emf - mean);
  const { nodes, weights: shares } = condensedRule(z, weights, count);
  const sum = shares.reduce((part, share) => part + share, 0);
  return { nodes: nodes.map((x) => x + mean), weights: shares.map((share) => share / sum) };
}

/** Median and 90 % interval: in each panel the density is the polynomial through its nodes. */
function estimateOf(panels: readonly Panel[], most: number, total: number): Estimate {
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

function placeIn({ low, high, logDensity }: Panel, most: number, target: number): number {
  const half = (high - low) / 2;
  const density = polynomialThrough(
    RULE.nodes,
    Float64Array.from(logDensity, (value) => Math.exp(value - most) * half),
  );
  return low + half * (1 + whereReached(integralOf(density), target));
}
