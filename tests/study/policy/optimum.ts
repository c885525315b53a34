import {
  cleanPrice,
  contactLimit,
  deck,
  type Law,
  type Nature,
  type Point,
  replacePrice,
} from "./law.ts";
import { type Contact, grownOhms, shareUnder } from "./world.ts";

/**
 * The optimum that sees true states: one contact by itself, the rest of its path sound, by dynamic
 * programming over weeks with its own nature known, two works a week. Solved on a grid of its own.
 */
export interface Solution {
  readonly nature: Nature;
  /** Value of doing nothing more this week, by level; and of the states without a level. */
  readonly wait: StateValues;
  readonly second: StateValues;
  readonly best: StateValues;
}

interface StateValues {
  readonly conducts: Float64Array;
  open: number;
  loose: number;
  broken: number;
}

const NODES = 160;
const [LOW, HIGH] = [Math.log(0.01), Math.log(400)];
const STEP = (HIGH - LOW) / (NODES - 1);
const levels = Float64Array.from({ length: NODES }, (_, k) => LOW + k * STEP);
const WEEKS = 15 * 52;
const BETA = (1 + deck.discountRate) ** (-1 / 52);
/** The rest of a path that is sound [ohm]. */
const REST = 0.3;

const empty = (): StateValues => ({
  conducts: new Float64Array(NODES),
  open: 0,
  loose: 0,
  broken: 0,
});

/** Lagrange's cubic, straight at the ends: little is smeared over hundreds of weeks. */
function valueAt(values: Float64Array, level: number): number {
  const x = Math.min(Math.max((level - LOW) / STEP, 0), NODES - 1.000001);
  const k = Math.floor(x);
  const f = x - k;
  if (k === 0 || k > NODES - 3) return values[k]! * (1 - f) + values[k + 1]! * f;
  const [a, b, c, d] = [values[k - 1]!, values[k]!, values[k + 1]!, values[k + 2]!];
  return (
    (-f * (f - 1) * (f - 2) * a) / 6 +
    ((f + 1) * (f - 1) * (f - 2) * b) / 2 -
    ((f + 1) * f * (f - 2) * c) / 2 +
    ((f + 1) * f * (f - 1) * d) / 6
  );
}

/** What a week costs in lost lanes at each level. */
const weekLoss = (law: Law): Float64Array =>
  levels.map(
    (level) =>
      deck.meetsPerWeek *
      deck.lostLane *
      deck.lossChance *
      shareUnder((Math.log(Math.exp(level) + REST) - Math.log(contactLimit)) / law.scatter),
  );

/** Levels of a fouling at a stroke and of a storm, as a few equal shares. */
const fifths = [-1.2816, -0.5244, 0, 0.5244, 1.2816];
const stormRises = [0.1, 0.35, 0.7, 1.2, 2.3];

interface Run extends Solution {
  readonly price: { readonly clean: number; readonly replace: number };
}

function stepBack(law: Law, loss: Float64Array, run: Run, newPart: number): void {
  const { nature, wait, second, best, price } = run;
  const lane = deck.meetsPerWeek * deck.lostLane;
  const fouled = fifths.reduce(
    (sum, z) =>
      sum + valueAt(best.conducts, Math.log(law.fouled.median) + law.fouled.logSd * z) / 5,
    0,
  );
  const storm = law.storms.perWeek * law.storms.touches;
  const stays = 1 - law.opens - law.loosens - law.fouls - law.breaks;
  for (let k = 0; k < NODES; k++) {
    const grown = Math.log(grownOhms(nature, Math.exp(levels[k]!), 1));
    let next = valueAt(best.conducts, grown);
    if (storm > 0) {
      const risen = stormRises.reduce(
        (sum, rise) => sum + valueAt(best.conducts, grown + law.storms.rise * rise) / 5,
        0,
      );
      next += storm * (risen - next);
    }
    wait.conducts[k] =
      loss[k]! +
      BETA *
        (stays * next +
          law.opens * best.open +
          law.loosens * best.loose +
          law.fouls * Math.max(fouled, next) +
          law.breaks * best.broken);
  }
  wait.open = lane + BETA * best.open;
  wait.loose = lane * deck.looseLoss + BETA * best.loose;
  wait.broken = lane + BETA * best.broken;
  const replace = price.replace + newPart;
  improve(law, run, wait, second, replace);
  improve(law, run, second, best, replace);
}

/** The least of waiting, cleaning with what follows in `after`, and replacing. */
function improve(law: Law, run: Run, after: StateValues, into: StateValues, replace: number): void {
  const { nature, wait, price } = run;
  const floor = valueAt(after.conducts, Math.log(nature.floor));
  const cure = nature.oxide ? 0 : law.cure;
  for (let k = 0; k < NODES; k++) {
    const clean = price.clean + cure * floor + (1 - cure) * after.conducts[k]!;
    into.conducts[k] = Math.min(wait.conducts[k]!, clean, replace);
  }
  for (const state of ["open", "loose"] as const) {
    const clean = price.clean + law.mend * floor + (1 - law.mend) * after[state];
    into[state] = Math.min(wait[state], clean, replace);
  }
  into.broken = Math.min(wait.broken, replace);
}

const runOf = (nature: Nature, point: Point): Run => ({
  nature,
  wait: empty(),
  second: empty(),
  best: empty(),
  price: { clean: cleanPrice(point), replace: replacePrice(point) },
});

/** Equal shares of the law's natures; what a new part is. */
export function typicalNatures(
  law: Law,
): readonly { readonly nature: Nature; readonly weight: number }[] {
  const zs = [-1.6449, -1.0364, -0.6745, -0.3853, -0.1257, 0.1257, 0.3853, 0.6745, 1.0364, 1.6449];
  const rates = [
    { growth: "none" as const, rate: 0, weight: law.notGrowing },
    ...zs.map((z) => ({
      growth: law.growth,
      rate: law.rate.median * Math.exp(law.rate.logSd * z),
      weight: (1 - law.notGrowing) / zs.length,
    })),
  ];
  return rates.flatMap(({ weight, ...rate }) =>
    [true, false].map((oxide) => ({
      nature: { ...rate, oxide, floor: law.floor.median },
      weight: weight * (oxide ? law.oxide : 1 - law.oxide),
    })),
  );
}

/** The optimum of one class: any nature's solution, worked out once. */
export class Optimum {
  private readonly kept = new Map<string, Solution>();
  private readonly behind = new Map<number, number>();
  /** Value of a new part from each week back, the last first. */
  private readonly newPart: Float64Array;
  readonly typical: readonly { readonly solution: Solution; readonly weight: number }[];

  readonly law: Law;
  readonly point: Point;

  constructor(law: Law, point: Point) {
    this.law = law;
    this.point = point;
    const loss = weekLoss(law);
    const natures = typicalNatures(law);
    const runs = natures.map(({ nature }) => runOf(nature, point));
    this.newPart = new Float64Array(WEEKS);
    let value = 0;
    for (let t = 0; t < WEEKS; t++) {
      // Waiting on a new part this week, from the next week's values: one pass to know it, and one on.
      for (const run of runs) stepBack(law, loss, run, value);
      value = runs.reduce(
        (sum, run, k) =>
          sum + natures[k]!.weight * valueAt(run.wait.conducts, Math.log(run.nature.floor)),
        0,
      );
      this.newPart[t] = value;
    }
    this.typical = runs.map((solution, k) => ({ solution, weight: natures[k]!.weight }));
  }

  /** Value of a new part now, its price left out, others of its path having so many ohms too many. */
  fresh(excess: number): number {
    const whole = Math.round(excess);
    if (whole === 0) return this.newPart.at(-1)!;
    const known = this.behind.get(whole);
    if (known !== undefined) return known;
    const value = this.typical.reduce(
      (sum, { solution: { nature, wait }, weight }) =>
        sum + weight * valueAt(wait.conducts, Math.log(nature.floor + whole)),
      0,
    );
    this.behind.set(whole, value);
    return value;
  }

  solve(nature: Nature): Solution {
    const key = JSON.stringify(nature);
    const known = this.kept.get(key);
    if (known !== undefined) return known;
    const loss = weekLoss(this.law);
    const run = runOf(nature, this.point);
    for (let t = 0; t < WEEKS; t++)
      stepBack(this.law, loss, run, t === 0 ? 0 : this.newPart[t - 1]!);
    this.kept.set(key, run);
    return run;
  }
}

export const levelValue = (
  values: StateValues,
  contact: Pick<Contact, "ohms" | "state">,
): number =>
  contact.state === "conducts"
    ? valueAt(values.conducts, Math.log(contact.ohms))
    : values[contact.state];

/**
 * Costs of the three works from a state: now and all that follows. `excess`: what the others of the
 * path have over sound ones, which stays when this one is cured [ohm].
 */
export function worksFrom(
  optimum: Optimum,
  solution: Solution,
  contact: Pick<Contact, "ohms" | "state">,
  stage: number,
  excess = 0,
): { readonly wait: number; readonly clean: number; readonly replace: number } {
  const { law, point } = optimum;
  const after = stage === 0 ? solution.second : solution.wait;
  const { nature } = solution;
  const felt = { ...contact, ohms: contact.ohms + excess };
  const floor = valueAt(after.conducts, Math.log(nature.floor + excess));
  const cure =
    contact.state === "conducts"
      ? nature.oxide
        ? 0
        : law.cure
      : contact.state === "broken"
        ? 0
        : law.mend;
  return {
    wait: levelValue(solution.wait, felt),
    clean: cleanPrice(point) + cure * floor + (1 - cure) * levelValue(after, felt),
    replace: replacePrice(point) + optimum.fresh(excess),
  };
}
