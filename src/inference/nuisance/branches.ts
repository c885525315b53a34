import { gaussLegendre } from "../../numerics/gauss-legendre.ts";
import type { UncertainOhms, WalkProblem } from "../problem.ts";
import type { Branch } from "./coordinates.ts";

/** A source and loads to reckon with. */
export interface WeighedBranch extends Branch {
  /** ln of its prior chance times its node's weight. */
  readonly logWeight: number;
  /** What each of its resistances stands for. */
  readonly stretches: Stretches;
  /** ln of its part of the posterior, near enough, on a scale of the walk's own. */
  readonly score: number;
}

/** From where to where [Ω] a node stands for what a resistance may be; nowhere else where it is exact. */
export interface Stretch {
  readonly low: number;
  readonly high: number;
}

/** As in `Branch`. */
export interface Stretches {
  readonly sourceOhms: readonly Stretch[];
  readonly loadOhms: readonly Stretch[];
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
 * the readings allow them. Of several unknown ones the panels of each are laid anew wherever those
 * before it are: a supply that is low ties a source to its meter's load, and two meters' loads are tied.
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
  const meters = loads.map((load, m) => (used.has(m) ? load : null));
  const sources = supplies.map((supply, s) => (read.has(s) ? supply.sourceOhms : null));
  const parted = <One>(each: readonly One[]) => ({
    loadOhms: each.slice(0, meters.length),
    sourceOhms: each.slice(meters.length),
  });
  const axes = [...meters, ...sources].map(axisOf);
  const order = axes.flatMap(({ law }, i) => (law === null ? [] : [i]));
  const tops = new Tops(axes, order, (values) => score(parted(values)));
  const found: WeighedBranch[] = [];
  const lay = (depth: number, { ohms, logWeight, stretches, logDensity }: Held): void => {
    if (depth === order.length) {
      const branch = parted(ohms);
      const own = order.length === 0 ? 0 : score(branch) + logWeight;
      found.push({ logWeight, stretches: parted(stretches), score: own, ...branch });
      return;
    }
    const i = order[depth]!;
    const at = (value: number): number => tops.above(depth + 1, ohms.with(i, value));
    const isOne = order.length === 1;
    const top = isOne ? null : { most: tops.most - logDensity, place: tops.place(depth, ohms) };
    for (const node of nodesOf(axes[i]!, at, isOne ? ONE : SEVERAL, top)) {
      const there = logDensity + node.logDensity;
      if (!isOne && there + at(node.ohms) < tops.most - LEFT_OUT) continue;
      lay(depth + 1, {
        ohms: ohms.with(i, node.ohms),
        logWeight: logWeight + node.logWeight,
        stretches: stretches.with(i, node),
        logDensity: there,
      });
    }
  };
  const start = {
    ohms: axes.map(({ first }) => first[0]!.ohms),
    stretches: axes.map(({ first }) => first[0]!),
  };
  lay(0, { ...start, logWeight: 0, logDensity: 0 });
  const most = Math.max(...found.map((one) => one.score));
  return found.filter((one) => one.score > most - LEFT_OUT);
}

/** Resistances held on the way to a branch. */
interface Held {
  readonly ohms: readonly number[];
  readonly logWeight: number;
  readonly stretches: readonly Stretch[];
  /** Of the priors of those held, not of their stretches. */
  readonly logDensity: number;
}

interface Value extends Stretch {
  readonly ohms: number;
  readonly logWeight: number;
  /** ln of the prior's density per ln ohm, or of its chance where it is exact. */
  readonly logDensity: number;
}

/** A resistance that has no other value near it, or of which a first look asks no more. */
function exactly(ohms: number) {
  return { ohms, low: ohms, high: ohms };
}

/** A resistance with its first look; `law` is null where it is known, or where nothing was read with it. */
interface Axis {
  readonly law: UncertainOhms | null;
  readonly first: readonly Value[];
}

const unused: Value = { ...exactly(1000), logWeight: 0, logDensity: 0 };

function axisOf(law: UncertainOhms | null): Axis {
  const first = law === null ? [unused] : valuesOf(law);
  return { law: first.length > 1 ? law : null, first };
}

/** Where the posterior is highest over those resistances that are not held. */
class Tops {
  /** ln of the highest density met, priors included. */
  most = Number.NEGATIVE_INFINITY;
  readonly #axes: readonly Axis[];
  readonly #order: readonly number[];
  readonly #score: (ohms: readonly number[]) => number;
  readonly #tops = new Map<string, Top>();
  readonly #climbed: (readonly number[])[] = [];
  #highest: readonly number[] = [];

  /** @param order The unknown ones, in the order in which they come to be held. */
  constructor(
    axes: readonly Axis[],
    order: readonly number[],
    score: (ohms: readonly number[]) => number,
  ) {
    this.#axes = axes;
    this.#order = order;
    this.#score = score;
    if (order.length < 2) return;
    const first = this.#firstLook();
    this.#climbed.push(first);
    if (!(this.most > Number.NEGATIVE_INFINITY)) this.#highest = first;
  }

  /** ln of the highest density, the priors of the first `held` left out. */
  above(held: number, ohms: readonly number[]): number {
    return held === this.#order.length ? this.#score(ohms) : this.#topOver(held, ohms).log;
  }

  /** Where the next one is likeliest of all that is not exact, once some are held. */
  place(held: number, ohms: readonly number[]): number | null {
    return held === 0 ? null : this.#topOver(held, ohms).climbed[this.#order[held]!]!;
  }

  #topOver(held: number, ohms: readonly number[]): Top {
    const before = this.#order.slice(0, held);
    const key = String(before.map((i) => ohms[i]!));
    let top = this.#tops.get(key);
    if (top === undefined) {
      const climbed = this.#climb(held, ohms);
      const log = this.#at(this.#orExact(held, climbed)) - this.#priors(before, ohms);
      top = { log, climbed };
      this.#tops.set(key, top);
      this.#climbed.push(climbed);
    }
    return top;
  }

  #priors(axes: readonly number[], ohms: readonly number[]): number {
    return axes.reduce((sum, i) => sum + logPriorOf(this.#axes[i]!.law!, ohms[i]!), 0);
  }

  #at(ohms: readonly number[]): number {
    const log = this.#score(ohms) + this.#priors(this.#order, ohms);
    if (log > this.most) {
      this.most = log;
      this.#highest = ohms;
    }
    return log;
  }

  /** Among what is not exact, one at a time, the others where they were likeliest so far. */
  #firstLook(): readonly number[] {
    const even = this.#axes.map(({ law, first }) => first.slice(law?.exact.length ?? 0));
    let best: readonly number[] = even.map(
      (own, i) => (own[own.length >> 1] ?? this.#axes[i]!.first[0]!).ohms,
    );
    for (let round = 0; round < 2; round++) {
      for (const i of this.#order) {
        best = this.#best([best, ...even[i]!.map(({ ohms }) => best.with(i, ohms))]);
      }
    }
    return best;
  }

  #best(places: readonly (readonly number[])[]): readonly number[] {
    const logs = places.map((ohms) => this.#at(ohms));
    return places[logs.indexOf(Math.max(...logs))]!;
  }

  /** From where the top was nearby, along what is not held. */
  #climb(held: number, ohms: readonly number[]): readonly number[] {
    const free = this.#order.slice(held);
    const place = (of: (i: number) => number): readonly number[] =>
      ohms.map((own, i) => (free.includes(i) ? of(i) : own));
    const last = this.#order[held - 1]!;
    const ratio = (top: readonly number[], i: number): number => (ohms[i]! + 1) / (top[i]! + 1);
    const apart = (top: readonly number[]): number =>
      this.#order.slice(0, held).reduce((sum, i) => sum + Math.abs(Math.log(ratio(top, i))), 0);
    const near = this.#climbed.reduce((a, b) => (apart(b) < apart(a) ? b : a));
    let best = this.#best([
      place((i) => near[i]!),
      ...[near, this.#highest].map((top) => place((i) => top[i]! * ratio(top, last))),
      place((i) => this.#axes[i]!.law!.medianOhms),
    ]);
    for (let turn = 0, step = CLIMB_FROM; turn < TURNS; turn++, step /= 2) {
      for (const i of free) {
        const steps = [1, Math.exp(step), Math.exp(-step)];
        best = this.#best(steps.map((by) => best.with(i, by * best[i]!)));
      }
    }
    return best;
  }

  #orExact(held: number, climbed: readonly number[]): readonly number[] {
    return this.#order.slice(held).reduce((best, i) => {
      const { exact } = this.#axes[i]!.law!;
      return this.#best([best, ...exact.map(({ ohms }) => best.with(i, ohms))]);
    }, climbed);
  }
}

interface Top {
  /** ln of the density, without the priors of what is held. */
  readonly log: number;
  /** Where it is among what is not exact. */
  readonly climbed: readonly number[];
}

const exactOf = ({ exact }: UncertainOhms): readonly Value[] =>
  exact
    .filter(({ chance }) => chance > 0)
    .map(({ ohms, chance }) => {
      const log = Math.log(chance);
      return { ...exactly(ohms), logWeight: log, logDensity: log };
    });

const restOf = ({ exact }: UncertainOhms): number =>
  1 - exact.reduce((sum, { chance }) => sum + chance, 0);

/** ln of a value's chance where it is exact, of its density where it is not. */
function logPriorOf(law: UncertainOhms, ohms: number): number {
  const exact = law.exact.find((one) => one.ohms === ohms);
  return exact === undefined ? logDensity(law, Math.log(ohms)) : Math.log(exact.chance);
}

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
    const log = logDensity(law, ln);
    return { ...exactly(Math.exp(ln)), logWeight: log + Math.log(step), logDensity: log };
  });
  return [...exactOf(law), ...even];
}

/**
 * Nodes of panels in ln ohm, where the posterior is.
 *
 * @param met The highest density met anywhere, in ln, and where this resistance is likeliest of all that
 *   is not exact, as far as either is known.
 */
function nodesOf(
  { law, first }: Axis,
  score: (ohms: number) => number,
  { rule, rise }: typeof ONE,
  met: { readonly most: number; readonly place: number | null } | null,
): readonly Value[] {
  const exact = exactOf(law!);
  const even = first.slice(exact.length);
  if (even.length === 0) return exact;
  const lns = even.map(({ ohms }) => Math.log(ohms));
  const known = new Map<number, number>();
  let best = Math.max(
    met?.most ?? Number.NEGATIVE_INFINITY,
    ...exact.map(({ ohms, logWeight }) => score(ohms) + logWeight),
  );
  const at = (ln: number): number => {
    const value = known.get(ln) ?? score(Math.exp(ln)) + logDensity(law!, ln);
    known.set(ln, value);
    best = Math.max(best, value);
    return value;
  };
  const top = met?.place == null ? climb(lns, at) : Math.log(met.place);
  const found: Value[] = [];
  const lay = (low: number, high: number, depth: number): void => {
    const [left, middle, right] = [at(low), at((low + high) / 2), at(high)];
    const isLow = Math.max(left, middle, right) < best - LEFT_OUT - 4 * Math.max(0, 3 - depth);
    if (isLow && !(low <= top && top <= high)) return;
    const bent = Math.abs(left + right - 2 * middle);
    if (depth < 9 && (Math.abs(left - right) > rise || bent > rise / 2)) {
      lay(low, (low + high) / 2, depth + 1);
      lay((low + high) / 2, high, depth + 1);
      return;
    }
    const half = (high - low) / 2;
    let from = low;
    for (let k = 0; k < rule.nodes.length; k++) {
      const ln = low + half * (1 + rule.nodes[k]!);
      const weight = rule.weights[k]!;
      const log = logDensity(law!, ln);
      const stretch = { low: Math.exp(from), high: Math.exp(from + half * weight) };
      const logWeight = log + Math.log(half * weight);
      found.push({ ohms: Math.exp(ln), logWeight, logDensity: log, ...stretch });
      from += half * weight;
    }
  };
  const per = 2;
  for (let i = 0; i + per < lns.length; i += per) lay(lns[i]!, lns[i + per]!, 0);
  return [...exact, ...found];
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

/** So often the step of a climb is halved. */
const CLIMB = 6;
/** And of one that begins near a top, from so much on. */
const TURNS = 4;
const CLIMB_FROM = 0.8;
