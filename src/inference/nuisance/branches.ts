import { gaussLegendre } from "../../numerics/gauss-legendre.ts";
import type { UncertainOhms, WalkProblem } from "../problem.ts";
import type { Branch } from "./coordinates.ts";

/** A source and loads to reckon with. */
export interface WeighedBranch extends Branch {
  /** ln of its prior chance times its node's weight. */
  readonly logWeight: number;
  /** What part of each resistance's node lies under it, of the stretch that it stands for. */
  readonly under: Branch;
  /** ln of its part of the posterior, near enough, on a scale of the walk's own. */
  readonly score: number;
}

/** Nodes of a panel, and how far ln of the posterior may rise or fall in one: of one unknown
 * resistance, and of each of several. */
const ONE = { rule: gaussLegendre(5), rise: 2.2 };
const SEVERAL = { rule: gaussLegendre(3), rise: 4.5 };
/** The first look at a log-normal: so many steps, as far as so many standard deviations. */
const STEPS = 8;
const REACH_SDS = 4;
/** A branch this far under the best, in ln, is left out. */
const LEFT_OUT = 6.3;

/**
 * The values that unknown resistances of the timer and of meters may have, each with its weight: the
 * exact ones as they are, the log-normal ones at the nodes of panels laid where `score` says that
 * the readings allow them. Several unknown ones make a product.
 *
 * @param score ln of the posterior of a branch without its own prior, near enough to lay panels by.
 */
export function branchesOf(
  walk: WalkProblem,
  score: (branch: Branch) => number,
): readonly WeighedBranch[] {
  const { supplies, loads } = walk;
  const read = new Set(walk.circuits.map(({ supply }) => supply));
  const used = new Set(
    walk.circuits.flatMap(({ readings, pressed }) =>
      [...readings, ...pressed].flat().map(({ meter }) => meter),
    ),
  );
  const sources = supplies.map((supply, s) => (read.has(s) ? supply.sourceOhms : null));
  const meters = loads.map((load, m) => (used.has(m) ? load : null));
  const laws = [...sources, ...meters];
  const asBranch = (values: readonly number[]): Branch => ({
    sourceOhms: values.slice(0, sources.length),
    loadOhms: values.slice(sources.length),
  });
  // One at a time, the others where they were likeliest so far.
  let candidates = laws.map((law) => (law === null ? [unusedValue] : valuesOf(law)));
  const best = laws.map(() => 0);
  const uncertain = candidates.flatMap((values, i) => (values.length > 1 ? [i] : []));
  for (let round = 0; round < (uncertain.length > 1 ? 2 : 0); round++) {
    for (const i of uncertain) {
      const scores = candidates[i]!.map((value) => {
        const values = candidates.map((each, k) => (k === i ? value.ohms : each[best[k]!]!.ohms));
        return score(asBranch(values)) + value.logWeight;
      });
      best[i] = scores.indexOf(Math.max(...scores));
    }
  }
  for (const i of uncertain) {
    const at = (ohms: number): number =>
      score(asBranch(candidates.map((each, k) => (k === i ? ohms : each[best[k]!]!.ohms))));
    const laid = nodesOf(laws[i]!, at, uncertain.length > 1 ? SEVERAL : ONE);
    candidates = candidates.map((each, k) => (k === i ? laid : each));
    if (uncertain.length > 1) best[i] = indexOfMost(laid, at);
  }
  const all = candidates.reduce<readonly (readonly Value[])[]>(
    (sofar, each) => sofar.flatMap((values) => each.map((value) => [...values, value])),
    [[]],
  );
  const scored = all.map((values) => {
    const branch = asBranch(values.map(({ ohms }) => ohms));
    const logWeight = values.reduce((sum, value) => sum + value.logWeight, 0);
    const under = asBranch(values.map((value) => value.under));
    const own = all.length === 1 ? 0 : score(branch) + logWeight;
    return { logWeight, under, score: own, ...branch };
  });
  const most = Math.max(...scored.map((one) => one.score));
  return scored.filter((one) => one.score > most - LEFT_OUT);
}

interface Value {
  readonly ohms: number;
  readonly logWeight: number;
  readonly under: number;
}

const unusedValue: Value = { ohms: 1000, logWeight: 0, under: 0.5 };

const exactOf = ({ exact }: UncertainOhms): readonly Value[] =>
  exact
    .filter(({ chance }) => chance > 0)
    .map(({ ohms, chance }) => ({ ohms, logWeight: Math.log(chance), under: 0.5 }));

const restOf = ({ exact }: UncertainOhms): number =>
  1 - exact.reduce((sum, { chance }) => sum + chance, 0);

/** ln of a log-normal's density per unit of ln ohm, times the chance that it is what holds. */
function logDensity(law: UncertainOhms, ln: number): number {
  const z = (ln - Math.log(law.medianOhms)) / law.logSd;
  return Math.log(restOf(law)) - 0.5 * z * z - Math.log(law.logSd * Math.sqrt(2 * Math.PI));
}

/** Values of a resistance to look at first, all over its law: the only one where it is known. */
export const firstLooks = (law: UncertainOhms): readonly number[] =>
  valuesOf(law).map(({ ohms }) => ohms);

/** An even first look. */
function valuesOf(law: UncertainOhms): readonly Value[] {
  if (restOf(law) < 1e-12) return exactOf(law);
  const step = (2 * REACH_SDS * law.logSd) / STEPS;
  const middle = Math.log(law.medianOhms);
  const even = Array.from({ length: STEPS + 1 }, (_, i) => {
    const ln = middle + (i - STEPS / 2) * step;
    return { ohms: Math.exp(ln), logWeight: logDensity(law, ln) + Math.log(step), under: 0.5 };
  });
  return [...exactOf(law), ...even];
}

/** Nodes of panels in ln ohm, where the posterior is. */
function nodesOf(
  law: UncertainOhms,
  score: (ohms: number) => number,
  { rule, rise }: typeof ONE,
): readonly Value[] {
  const even = valuesOf(law).slice(exactOf(law).length);
  if (even.length === 0) return exactOf(law);
  const lns = even.map(({ ohms }) => Math.log(ohms));
  const known = new Map<number, number>();
  let most = Math.max(
    Number.NEGATIVE_INFINITY,
    ...exactOf(law).map(({ ohms, logWeight }) => score(ohms) + logWeight),
  );
  const at = (ln: number): number => {
    const value = known.get(ln) ?? score(Math.exp(ln)) + logDensity(law, ln);
    known.set(ln, value);
    most = Math.max(most, value);
    return value;
  };
  const top = climb(lns, at);
  const found: Value[] = [];
  const lay = (low: number, high: number, depth: number): void => {
    const [left, middle, right] = [at(low), at((low + high) / 2), at(high)];
    const isLow = Math.max(left, middle, right) < most - LEFT_OUT - 4 * Math.max(0, 3 - depth);
    if (isLow && !(low <= top && top <= high)) return;
    const bent = Math.abs(left + right - 2 * middle);
    if (depth < 9 && (Math.abs(left - right) > rise || bent > rise / 2)) {
      lay(low, (low + high) / 2, depth + 1);
      lay((low + high) / 2, high, depth + 1);
      return;
    }
    const half = (high - low) / 2;
    let passed = 0;
    for (let k = 0; k < rule.nodes.length; k++) {
      const ln = low + half * (1 + rule.nodes[k]!);
      const weight = rule.weights[k]!;
      const logWeight = logDensity(law, ln) + Math.log(half * weight);
      found.push({ ohms: Math.exp(ln), logWeight, under: (1 + rule.nodes[k]! - passed) / weight });
      passed += weight;
    }
  };
  const per = 2;
  for (let i = 0; i + per < lns.length; i += per) lay(lns[i]!, lns[i + per]!, 0);
  return [...exactOf(law), ...found];
}

/** The top, climbed from the best of an even first look: panels are laid around it alone. */
function climb(lns: readonly number[], at: (ln: number) => number): number {
  const scores = lns.map(at);
  let top = lns[scores.indexOf(Math.max(...scores))]!;
  let step = (lns[1]! - lns[0]!) / 2;
  for (let turn = 0; turn < CLIMB; turn++, step /= 2) {
    for (const ln of [top - step, top + step]) if (at(ln) > at(top)) top = ln;
  }
  return top;
}

const CLIMB = 6;

function indexOfMost(values: readonly Value[], score: (ohms: number) => number): number {
  const scores = values.map(({ ohms, logWeight }) => score(ohms) + logWeight);
  return scores.indexOf(Math.max(...scores));
}
