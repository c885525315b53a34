import { type CircuitModel, circuitModel, type Shelf } from "./chain/circuit-model.ts";
import type { NuisanceRange } from "./chain/features.ts";
import type { Nuisance } from "./chain/point-likelihoods.ts";
import { isPressedInside } from "./chain/pressed.ts";
import { type Lightly, seriesWays, sumWays, type Way, type WaysSum } from "./circuit-evidence.ts";
import type { LoopNode, LoopRules } from "./conducting/loop-nodes.ts";
import { type ConductingPlan, conductingPlan, conductingWays } from "./conducting/plan.ts";
import { pressedPlan, pressedWays } from "./conducting/pressed-ways.ts";
import type { Nest } from "./nest/nest.ts";
import type { Care } from "./nuisance/integrate.ts";
import type { WalkProblem } from "./problem.ts";
import { type WalkNode, walkNode } from "./walk-node.ts";
import type { WalkDisplay } from "./zero-runs.ts";

/** A circuit is calm where contacts that come and go make its readings likelier by less, in ln. */
const CALM = 0.05;

/** Nor is it where earlier walks have left more than this of contacts that come and go. */
const LIKELY = 0.06;

/** P(a contact of the circuit comes and goes), at most, before any reading. */
const comesAndGoes = ({ shape }: CircuitModel): number =>
  shape.links.reduce(
    (sum, { states }) => sum + Math.max(states[0].intermittent, states[1].intermittent),
    0,
  );

const isCoupled = ({ circuit: { patterns } }: CircuitModel): boolean => patterns !== undefined;

/** The sums over one walk at any value of its shared numbers within a range. */
export class WalkSums {
  readonly #nest: Nest;
  readonly #display: WalkDisplay;
  readonly #models: readonly CircuitModel[];
  readonly #plans: readonly ConductingPlan[];
  /** By circuit: loops through its pressed switch, where points in front of it were read so. */
  readonly #pressed: readonly (readonly LoopNode[] | null)[];
  /** By circuit: contacts that come and go may be taken as sound away from the middle. */
  readonly #calm: readonly boolean[];
  /** By care, what was summed last: along one supply's EMF other supplies' circuits stay. */
  readonly #before = new Map<Care, Map<string, WaysSum>>();

  /** @param middle Where the shared numbers are likely. */
  constructor(
    walk: WalkProblem,
    shelf: Shelf,
    { nest, display }: { readonly nest: Nest; readonly display: WalkDisplay },
    range: NuisanceRange,
    middle: Nuisance,
  ) {
    this.#nest = nest;
    this.#display = display;
    this.#models = walk.circuits.map((circuit) => circuitModel(walk, circuit, range, shelf));
    this.#plans = walk.circuits.map((circuit) =>
      conductingPlan(walk, shelf, circuit, range, middle),
    );
    this.#pressed = walk.circuits.map((circuit) =>
      isPressedInside(circuit) ? pressedPlan(walk, shelf, circuit, range, middle) : null,
    );
    this.#calm = this.#models.map((model, c) => {
      if (!model.shape.mayComeAndGo || this.#pressed[c] !== null) return false;
      if (comesAndGoes(model) > LIKELY) return false;
      const [plan, own] = [this.#plans[c]!, display.circuits[c]!];
      const conducting = conductingWays(model, plan, own, middle, [], "sparse");
      const [whole, light] = [false, true].map((steady) => {
        const left = { apart: true, steady };
        return sumWays([...seriesWays(model, own, middle, [], plan.unseen, left), ...conducting]);
      });
      const ratio = whole!.values.map((value, k) => value / light!.values[k]!);
      return whole!.logScale - light!.logScale + Math.log(Math.max(...ratio)) < CALM;
    });
  }

  leavesOut(care: Care): boolean {
    if (care === "sparse") return this.#plans.some(({ seen }) => seen.length > 0);
    return care === "light" && (this.#calm.some(Boolean) || this.#models.some(isCoupled));
  }

  /**
   * Light sums take contacts that come and go as sound where that moves hardly anything, and those
   * that hang together one by one: which of them it is moves with no shared number. Sparse ones have
   * few loops for what conducts, too: its likelihood moves with the EMF as the whole one does.
   */
  at(nuisance: Nuisance, care: Care = "whole"): WalkNode {
    const before = this.#before.get(care) ?? new Map<string, WaysSum>();
    const known = new Map<string, WaysSum>();
    this.#before.set(care, known);
    const light = care !== "whole";
    const loops = care === "sparse" ? "sparse" : "whole";
    const { shared, circuits } = this.#display;
    return walkNode(this.#nest, shared, this.#models.length, (c, off) => {
      const mine = off.filter((index) => circuits[c]!.sharedZeros.has(index));
      const { drift, noiseScale, emf } = nuisance;
      const own = emf[this.#models[c]!.circuit.supply]!;
      const key = `${c} ${mine.join(" ")} ${own} ${drift} ${noiseScale}`;
      let sum = known.get(key) ?? before.get(key);
      if (sum === undefined) {
        const left = { apart: light, steady: light && this.#calm[c]! };
        sum = this.#ways(c, nuisance, mine, left, loops);
      }
      known.set(key, sum);
      return sum;
    });
  }

  #ways(
    c: number,
    nuisance: Nuisance,
    off: readonly number[],
    light: Lightly,
    rule: keyof LoopRules,
  ): WaysSum {
    const [model, plan, own] = [this.#models[c]!, this.#plans[c]!, this.#display.circuits[c]!];
    const loops = this.#pressed[c]!;
    const conducting = conductingWays(model, plan, own, nuisance, off, rule);
    const series = seriesWays(model, own, nuisance, off, plan.unseen, light);
    if (loops === null) return sumWays([...series, ...conducting]);
    // What was pressed says of a path that conducts what it says of one that doesn't.
    const pressed = pressedWays(model, loops, own, nuisance, off, plan.unseen);
    const factor = Math.exp(logMostOf(pressed) - logMostOf(series));
    return sumWays([
      ...pressed,
      ...conducting.map((way) => ({ ...way, chance: way.chance * factor })),
    ]);
  }
}

/** ln of the largest likelihood of a circuit's configurations, over all ways. */
function logMostOf(ways: readonly Way[]): number {
  const { logScale, values } = sumWays(ways);
  return logScale + Math.log(Math.max(...values));
}
