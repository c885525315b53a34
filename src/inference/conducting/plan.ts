import { logSum } from "../../numerics/log-sum.ts";
import type { CircuitModel, Shelf } from "../chain/circuit-model.ts";
import type { NuisanceRange } from "../chain/features.ts";
import type { Nuisance } from "../chain/point-likelihoods.ts";
import { wireOhmsTo } from "../chain/point-likelihoods.ts";
import type { Way } from "../circuit-evidence.ts";
import { looksSound, marginalFaults, sketchParts, totalOf } from "../nuisance/sketch.ts";
import type { CircuitProblem, ConductingProblem, WalkProblem } from "../problem.ts";
import { type CircuitDisplay, offOneByOne } from "../zero-runs.ts";
import { type Alike, alikeIn } from "./alike.ts";
import { modelBehind } from "./behind-leak.ts";
import { type LoopRules, logMixed, loopNodes } from "./loop-nodes.ts";
import { loopSketch } from "./loop-sketch.ts";
import {
  cutWay,
  type LoopFeatures,
  laidLoop,
  loopFeatures,
  loopModel,
  loopWay,
} from "./loop-ways.ts";
import { type MovingLoop, movingLoops, rangeAt, still } from "./moving-loop.ts";

/** How what may conduct in one circuit is summed over. */
export interface ConductingPlan {
  /**
   * By what may conduct: its chance times how much likelier it makes the readings, where a sketch
   * is enough; 0 where it has loops.
   */
  readonly unseen: readonly number[];
  readonly seen: readonly SeenConducting[];
}

interface SeenConducting {
  readonly one: Alike;
  /** The chain behind it; null where none is left. */
  readonly behind: CircuitModel | null;
  readonly loops: LoopRules;
}

/** What conducts is summed exactly where the sketch moves its chance up by more than this. */
const WORTH = 0.02;
export function conductingPlan(
  walk: WalkProblem,
  shelf: Shelf,
  circuit: CircuitProblem,
  range: NuisanceRange,
  nuisance: Nuisance,
): ConductingPlan {
  const parts = sketchParts(walk, circuit, true)(nuisance);
  const faults = marginalFaults(walk, circuit);
  const plain = totalOf(parts) + Number.MIN_VALUE;
  const off = offOneByOne(walk.zeroRuns);
  const blank = circuit.readings.flat().flatMap(({ index }) => (off.has(index) ? [index] : []));
  const logBlank = blank.reduce((sum, index) => sum + Math.log(off.get(index)!), 0);
  const cases = blank.length === 0 ? [SHOWN] : [SHOWN, { off: blank, logChance: logBlank }];
  const soundLooking = looksSound(parts);
  const ratios = alikeIn(circuit.conducting).map((one) => {
    const cut = parts.open.slice(0, one.link + 1).reduce((sum, x) => sum + x, 0);
    const sketch = loopSketch(circuit, one, nuisance, faults, !soundLooking, off);
    const ratio =
      (Math.exp(sketch.logLikelihood) + cut) / (soundLooking ? parts.sound + cut : plain);
    return { one, sketch, ratio };
  });
  const nothing = 1 - circuit.conducting.reduce((sum, { chance }) => sum + chance, 0);
  const all = ratios.reduce((sum, { one, ratio }) => sum + one.chance * ratio, nothing);
  const seen: SeenConducting[] = [];
  const unseen = circuit.conducting.map(() => 0);
  for (const { one, sketch, ratio } of ratios) {
    const share = (one.chance * ratio) / all;
    if (share < one.chance + WORTH || sketch.loops.length === 0) {
      for (const [k, part] of one.parts.entries()) unseen[k]! += part * one.chance * ratio;
      continue;
    }
    const behind = modelBehind(walk, shelf, circuit, one.link, range, nuisance);
    const loops = loopsOf(walk, shelf, circuit, one, behind, range, nuisance, sketch.loops, cases);
    seen.push({ one, behind, loops });
  }
  return { unseen, seen };
}

/** Zeros of a circuit that a display which was off left, and ln of their chance, near enough. */
interface Blank {
  readonly off: readonly number[];
  readonly logChance: number;
}
const SHOWN: Blank = { off: [], logChance: 0 };

function loopsOf(
  walk: WalkProblem,
  shelf: Shelf,
  circuit: CircuitProblem,
  one: ConductingProblem,
  behind: CircuitModel | null,
  range: NuisanceRange,
  nuisance: Nuisance,
  sketched: readonly { readonly ohms: number; readonly share: number }[],
  cases: readonly Blank[],
): SeenConducting["loops"] {
  const base = nuisance.sourceOhms[circuit.supply]! + wireOhmsTo(circuit)[one.link]!;
  const logs = sketched
    .map(({ ohms, share }) => ({ y: Math.log(Math.max(ohms - base, 1e-6)), share }))
    .sort((a, b) => a.y - b.y);
  const chances = configurationChances(walk, circuit);
  const here = rangeAt(nuisance);
  const { scale } = shelf.tree;
  const featuresIn =
    (within: NuisanceRange) =>
    (loop: MovingLoop): LoopFeatures =>
      loopFeatures(circuit, one, scale, within, nuisance, loop);
  return loopNodes(base, logs, {
    log: (ohms) => {
      const model = loopModel(walk, shelf, circuit, here, featuresIn(here)(still(ohms)));
      const logs = cases.map(({ off, logChance }) => {
        const { messages } = loopWay(model, one, behind, nuisance, off, ohms);
        return logChance + logMixed(messages, chances);
      });
      return logSum(logs);
    },
    lay: (ohms, hill) => {
      const own = { logSd: one.logSd, ...hill };
      const moving = movingLoops(circuit, circuit.readings, one.link, nuisance, own)(ohms);
      return laidLoop(moving, ohms, featuresIn(range), (looped) =>
        loopModel(walk, shelf, circuit, range, looped),
      );
    },
  });
}

/** P(configuration) of one circuit's bodies, before any reading. */
export const configurationChances = (walk: WalkProblem, circuit: CircuitProblem): Float64Array => {
  const bodies = circuit.links.flatMap(({ body }) => (body === null ? [] : [body]));
  return Float64Array.from({ length: 1 << bodies.length }, (_, c) =>
    bodies.reduce((p, body, bit) => {
      const { contaminated } = walk.bodies[body]!;
      return p * ((c >> bit) & 1 ? contaminated : 1 - contaminated);
    }, 1),
  );
};

/** The ways of a circuit in which something conducts that can be told. */
export function conductingWays(
  model: CircuitModel,
  plan: ConductingPlan,
  display: CircuitDisplay,
  nuisance: Nuisance,
  off: readonly number[],
  rule: keyof LoopRules = "whole",
): readonly Way[] {
  return plan.seen.flatMap(({ one, behind, loops }) =>
    display.own.flatMap((own) => {
      const all = [...own.off, ...off];
      const { parts: conducting } = one;
      const chance = one.chance * own.chance;
      const cut = { chance, off: all, conducting, ...cutWay(model, one, nuisance, all) };
      const looped = loops[rule].map(({ loop, logWidth, model: laid }) => {
        const { ohms, perOhm } = loop(nuisance);
        return {
          chance: chance * Math.exp(logWidth) * perOhm,
          off: all,
          conducting,
          ...loopWay(laid, one, behind, nuisance, all, ohms),
        };
      });
      return [cut, ...looped];
    }),
  );
}
