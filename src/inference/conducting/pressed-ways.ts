import { type CircuitModel, circuitModel, type Shelf } from "../chain/circuit-model.ts";
import type { NuisanceRange } from "../chain/features.ts";
import { backward, type ChainEnd } from "../chain/messages.ts";
import {
  loopedVolts,
  type Nuisance,
  type PointLikelihoods,
  pointLikelihoods,
  seriesVolts,
  wireOhmsTo,
} from "../chain/point-likelihoods.ts";
import { CLOSED } from "../chain/pressed.ts";
import type { Way, WayThrough } from "../circuit-evidence.ts";
import { lawDensity } from "../law-density.ts";
import type { CircuitProblem, WalkProblem } from "../problem.ts";
import type { CircuitDisplay } from "../zero-runs.ts";
import { type LoopNode, logMixed, loopNodes } from "./loop-nodes.ts";
import { type LoopFeatures, laidLoop, loopFeatures } from "./loop-ways.ts";
import { type MovingLoop, movingLoops, rangeAt, still } from "./moving-loop.ts";
import { configurationChances } from "./plan.ts";

const CLOSED_LAW = [{ share: 1, ...CLOSED }];

/**
 * The sum over a circuit of which points in front of the device were read with its switch pressed.
 *
 * Given the loop D = Rs + W + t + Rp through the pressed switch, a pressed reading depends on the
 * contacts up to its own point alone, as one at rest does; D is integrated over, with the law of Rp
 * at the chain's end. An open contact leaves no loop: pressed or not, the meter reads the same.
 */

/** Where to look for the loop first: ln of Rp and all contacts [Ω]. */
const PLACES = { low: -1.5, high: 12, step: 0.5 };

/** The loops through a pressed switch, each with its mesh. */
export function pressedPlan(
  walk: WalkProblem,
  shelf: Shelf,
  circuit: CircuitProblem,
  range: NuisanceRange,
  nuisance: Nuisance,
): readonly LoopNode[] {
  const last = circuit.links.length - 1;
  const source = nuisance.sourceOhms[circuit.supply]!;
  const base = source + wireOhmsTo(circuit)[last]!;
  const chances = configurationChances(walk, circuit);
  const read = { ...circuit, readings: circuit.pressed };
  const { scale } = shelf.tree;
  const switched = { link: last, ...CLOSED };
  const featuresIn =
    (within: NuisanceRange) =>
    (loop: MovingLoop): LoopFeatures =>
      loopFeatures(read, switched, scale, within, nuisance, loop);
  const here = rangeAt(nuisance);
  const log = (ohms: number): number => {
    const looped = featuresIn(here)(still(ohms));
    const model = circuitModel(walk, circuit, here, shelf, looped);
    return logMixed(closedWay(model, nuisance, [], ohms).messages, chances);
  };
  const { low, high, step } = PLACES;
  const logs = Array.from({ length: (high - low) / step + 1 }, (_, i) => {
    const y = low + i * step;
    return { y, log: log(base + Math.exp(y)) + y };
  });
  const most = Math.max(...logs.map(({ log }) => log));
  const total = logs.reduce((sum, { log }) => sum + Math.exp(log - most), 0);
  const shares = logs.map(({ y, log }) => ({ y, share: Math.exp(log - most) / total }));
  const { whole } = loopNodes(base, shares, {
    log,
    lay: (ohms, hill) => {
      const own = { logSd: CLOSED.logSd, ...hill };
      const moving = movingLoops(read, read.readings, last, nuisance, own)(ohms);
      return laidLoop(moving, ohms, featuresIn(range), (looped) =>
        circuitModel(walk, circuit, range, shelf, looped),
      );
    },
  });
  return whole;
}

/** The ways of such a circuit: its switch closes a loop, or a contact is open. */
export function pressedWays(
  model: CircuitModel,
  loops: readonly LoopNode[],
  display: CircuitDisplay,
  nuisance: Nuisance,
  off: readonly number[],
  unseen: readonly number[],
): readonly Way[] {
  const nothing = 1 - model.circuit.conducting.reduce((sum, one) => sum + one.chance, 0);
  const chance = unseen.reduce((sum, x) => sum + x, nothing);
  const conducting = unseen.map((x) => x / chance);
  return display.own.flatMap((own) => {
    const all = [...own.off, ...off];
    const closed = loops.map(({ loop, logWidth, model: laid }) => {
      const { ohms, perOhm } = loop(nuisance);
      return {
        chance: chance * own.chance * Math.exp(logWidth) * perOhm,
        ...closedWay(laid, nuisance, all, ohms),
      };
    });
    const open = { chance: chance * own.chance, ...openWay(model, nuisance, all) };
    return [open, ...closed].map((way): Way => ({ off: all, conducting, ...way }));
  });
}

function closedWay(
  model: CircuitModel,
  nuisance: Nuisance,
  off: readonly number[],
  loop: number,
): WayThrough {
  const { circuit, shape, mesh } = model;
  const last = circuit.links.length - 1;
  const base = nuisance.sourceOhms[circuit.supply]! + wireOhmsTo(circuit)[last]!;
  const { suffixes } = shape.links[last]!;
  const size = mesh.t.length;
  const rows = new Float64Array(suffixes * size);
  for (let m = 0; m < size; m++) {
    const closed = loop - base - mesh.t[m]!;
    if (closed > 0) rows[m] = lawDensity(CLOSED_LAW, Math.log(closed)) / closed;
  }
  for (let q = 1; q < suffixes; q++) rows.copyWithin(q * size, 0, size);
  return through(model, nuisance, off, loop, { link: last, rows, ifOpen: 0 });
}

const openWay = (model: CircuitModel, nuisance: Nuisance, off: readonly number[]): WayThrough => {
  const link = model.circuit.links.length - 1;
  const rows = new Float64Array(model.shape.links[link]!.suffixes * model.mesh.t.length);
  return through(model, nuisance, off, null, { link, rows, ifOpen: 1 });
};

/** @param loop The loop that pressed readings see [Ω]; null: none. */
function through(
  model: CircuitModel,
  nuisance: Nuisance,
  off: readonly number[],
  loop: number | null,
  end: ChainEnd,
): WayThrough {
  const { circuit, shape, mesh, kernels } = model;
  const voltsAt = seriesVolts(circuit, nuisance);
  const without = off.length > 0 ? new Set(off) : null;
  const bad = shape.mayComeAndGo ? model.bad : null;
  const seen = (readings: CircuitProblem["readings"], at: Way["voltsAt"]): PointLikelihoods =>
    pointLikelihoods(mesh, readings, at, nuisance.noiseScale, without, bad);
  const points = product(
    seen(circuit.readings, voltsAt),
    seen(circuit.pressed, loop === null ? voltsAt : loopedVolts(circuit, nuisance, loop)),
  );
  const messages = backward(shape, kernels, points, mesh.t.length, end);
  return { model, points, messages, last: end.link, voltsAt };
}

const product = (a: PointLikelihoods, b: PointLikelihoods): PointLikelihoods => ({
  plain: a.plain.map((x, i) => x * b.plain[i]!),
  shaky: a.shaky === null ? null : a.shaky.map((x, i) => x * b.shaky![i]!),
  open: a.open.map((x, i) => x * b.open[i]!),
});
