import { loopVolts } from "../../circuit/conducting.ts";
import { ohms, volts } from "../../domain/units.ts";
import { type CircuitModel, circuitModel, type Shelf } from "../chain/circuit-model.ts";
import type { NuisanceRange } from "../chain/features.ts";
import { type Feature, NODES } from "../chain/mesh.ts";
import { backward, type ChainEnd } from "../chain/messages.ts";
import {
  emfAt,
  loopedVolts,
  type Nuisance,
  type PointLikelihoods,
  pointLikelihoods,
  seriesVolts,
  wireOhmsTo,
} from "../chain/point-likelihoods.ts";
import { pressedAtEnd, pressedIfOpen, pressedLikelihood } from "../chain/pressed.ts";
import type { WayThrough } from "../circuit-evidence.ts";
import { lawDensity } from "../law-density.ts";
import type { CircuitProblem, ConductingProblem, WalkProblem } from "../problem.ts";
import { type BehindLeak, behindLeak } from "./behind-leak.ts";
import { type MovingLoop, still } from "./moving-loop.ts";

/**
 * The exact sum over one circuit that conducts behind link m.
 *
 * Given the loop D = Rs + W_m + t_m + Rd, a reading up to m depends on the contacts up to its own
 * point alone, so the messages of the chain hold as they are, with the law of Rd at its end:
 *
 *     end(t) = p(D - Rs - W_m - t) B(t)
 *
 * where B is the likelihood of what lies behind m, fed by the source that m is. D is integrated
 * over. A contact that is open up to m leaves a path on which nothing conducts: that part has no D.
 */

/** The part of a circuit that conducts in which a contact up to there is open. */
export function cutWay(
  model: CircuitModel,
  conducting: ConductingProblem,
  nuisance: Nuisance,
  off: readonly number[],
): WayThrough {
  const { circuit, shape, mesh, kernels } = model;
  const voltsAt = seriesVolts(circuit, nuisance);
  const points = pointLikelihoods(
    mesh,
    circuit.readings,
    voltsAt,
    nuisance.noiseScale,
    off.length > 0 ? new Set(off) : null,
    null,
  );
  const { link } = conducting;
  const rows = new Float64Array(shape.links[link]!.suffixes * mesh.t.length);
  const ifOpen = points.open
    .slice(link + 1)
    .reduce((product, x) => product * x, pressedIfOpen(circuit, nuisance));
  const messages = backward(shape, kernels, points, mesh.t.length, { link, rows, ifOpen });
  return { model, points, messages, last: link, voltsAt };
}

/** A loop that moves, or stays where it takes too wide a mesh to follow it, and its mesh. */
export function laidLoop(
  moving: MovingLoop,
  ohms: number,
  featuresOf: (loop: MovingLoop) => LoopFeatures,
  modelOf: (looped: LoopFeatures) => CircuitModel,
): { readonly loop: MovingLoop; readonly model: CircuitModel } {
  const looped = featuresOf(moving);
  const panels = looped.features.reduce(
    (sum, { low, high, width }) => sum + (high - low) / width,
    0,
  );
  if (panels < TOO_WIDE) return { loop: moving, model: modelOf(looped) };
  const loop = still(ohms);
  return { loop, model: modelOf(featuresOf(loop)) };
}

/** So many widths of what varies are too many to lay a mesh across. */
const TOO_WIDE = 250;

/** What varies along the axis of a loop, and the resistance that no path of it exceeds [Ω]. */
export interface LoopFeatures {
  readonly features: readonly Feature[];
  readonly most: number;
}

/** A mesh for one loop, by what varies along it. */
export function loopModel(
  walk: WalkProblem,
  shelf: Shelf,
  circuit: CircuitProblem,
  range: NuisanceRange,
  looped: LoopFeatures,
): CircuitModel {
  const unread = { ...circuit, readings: [] };
  return { ...circuitModel(walk, unread, range, shelf, looped), circuit };
}

/** The rest of it at one loop resistance [Ω], per ohm of the loop, on a mesh laid for it. */
export function loopWay(
  model: CircuitModel,
  conducting: ConductingProblem,
  behind: CircuitModel | null,
  nuisance: Nuisance,
  off: readonly number[],
  loop: number,
): WayThrough {
  const { circuit, shape, mesh, kernels } = model;
  const { link } = conducting;
  const upTo = circuit.readings.map((readings, k) => (k <= link ? readings : []));
  const offSet = off.length > 0 ? new Set(off) : null;
  const voltsAt = loopedVolts(circuit, nuisance, loop);
  const points = pointLikelihoods(mesh, upTo, voltsAt, nuisance.noiseScale, offSet, null);
  const table = behind === null ? null : behindLeak(behind, nuisance, off);
  const base = nuisance.sourceOhms[circuit.supply]! + wireOhmsTo(circuit)[link]!;
  const end = loopEnd(model, conducting, table, nuisance, { base, loop }, points);
  const messages = backward(shape, kernels, points, mesh.t.length, end);
  const through = { model, points, messages, last: link, voltsAt };
  return table === null ? through : { beyond: { behind: table, base, loop }, ...through };
}

/** @param base What lies in front of the leak but contacts [Ω]. */
function loopEnd(
  { circuit, shape, mesh }: CircuitModel,
  { link, medianOhms, logSd }: ConductingProblem,
  behind: BehindLeak | null,
  nuisance: Nuisance,
  { base, loop }: { readonly base: number; readonly loop: number },
  points: PointLikelihoods,
): ChainEnd {
  const size = mesh.t.length;
  const { suffixes } = shape.links[link]!;
  const law = [{ share: 1, medianOhms, logSd }];
  const density = Float64Array.from(mesh.t, (t) => {
    const rd = loop - base - t;
    return rd > 0 ? lawDensity(law, Math.log(rd)) / rd : 0;
  });
  const rows = new Float64Array(suffixes * size);
  const atEnd = link + 1 === circuit.links.length && pressedAtEnd(circuit).length > 0;
  const read = behind?.isRead === true ? behind : null;
  const weight = density.map((own, m) => own * points.plain[link * size + m]!);
  const most = weight.reduce((a, b) => Math.max(a, b), 0);
  for (let first = 0; first < size; first += NODES) {
    // Panel by panel: within one a row is a polynomial.
    const largest = weight.subarray(first, first + NODES).reduce((a, b) => Math.max(a, b), 0);
    if (!(largest > NOTHING * most)) continue;
    for (let m = first; m < first + NODES; m++) {
      if (density[m] === 0) continue;
      const before = ohms(base + mesh.t[m]!);
      const factors = read === null ? null : read.valuesAt(before, loop);
      const pressed = atEnd ? pressedLikelihood(circuit, nuisance, before, ohms(loop - before)) : 1;
      for (let q = 0; q < suffixes; q++) {
        rows[q * size + m] = density[m]! * pressed * (factors === null ? 1 : factors[q]!);
      }
    }
  }
  return { link, rows, ifOpen: 0 };
}

/** Paths of less than this part of the likeliest one's weight are left out at a leak. */
const NOTHING = 1e-4;

/** Where along the axis something varies for a loop wherever it moves, and what no path exceeds. */
export function loopFeatures(
  circuit: CircuitProblem,
  { link, medianOhms, logSd }: Pick<ConductingProblem, "link" | "medianOhms" | "logSd">,
  scale: number,
  range: NuisanceRange,
  nuisance: Nuisance,
  loop: MovingLoop,
): LoopFeatures {
  const wire = wireOhmsTo(circuit);
  const source = nuisance.sourceOhms[circuit.supply]!;
  const fold = (t: number): number => (t <= -scale / 2 ? -1 : t / (scale + t));
  const features: Feature[] = [];
  const add = (low: number, high: number, width: number): void => {
    const perOhm = scale / (scale + Math.max(0, low)) ** 2;
    const grid = 2 ** Math.floor(Math.log2(width * perOhm));
    features.push({
      low: Math.floor(fold(low) / grid) * grid,
      high: Math.ceil(fold(high) / grid) * grid,
      width: grid,
    });
  };
  const { supply } = circuit;
  const [emfLow, emfHigh] = range.emf[supply]!;
  const loopAt = (emf: number): number =>
    loop({ ...nuisance, emf: nuisance.emf.with(supply, emf) }).ohms;
  const ends = [emfLow, emfHigh].map((emf) => ({ emf, loop: loopAt(emf) }));
  const middleLoop = loop(nuisance).ohms;
  const longest = Math.max(middleLoop, ...ends.map((end) => end.loop)) - source;
  for (let k = 0; k <= link; k++) {
    for (const reading of circuit.readings[k]!) {
      const load = ohms(nuisance.loadOhms[reading.meter]!);
      const s = reading.noise * range.noiseScale;
      const offset = reading.emfOffset ?? 0;
      const at = (emf: number, own: number, t: number): number =>
        loopVolts(volts(emf + offset), load, ohms(source + wire[k]! + t), ohms(own));
      const middle = emfAt(nuisance, supply, reading) - offset;
      let main = 0;
      for (const z of [0, -4, 4]) {
        const shown = Math.max(reading.shown + z * s, s / 4);
        const places = ends.map((end) => {
          const farthest = Math.max(0, end.loop - source - wire[k]!);
          return whereShown((t) => at(end.emf, end.loop, t), shown, farthest);
        });
        const [low, high] = [Math.min(...places), Math.max(...places)];
        if (high < 0) continue;
        const t = Math.max(0, low);
        const step = Math.max(1e-6, 1e-3 * middleLoop);
        const slope = Math.abs(at(middle, middleLoop, t + step) - at(middle, middleLoop, t)) / step;
        const width = s / Math.max(slope, 1e-9);
        if (z !== 0 && main > 0 && width > main / 1.5 && width < 1.5 * main) continue;
        if (z === 0) main = width;
        add(low, high, width);
      }
    }
  }
  // The law of Rd, seen from the far end.
  const lowest = Math.min(5, ...circuit.readings[link]!.map(({ shown }) => shown)) - 0.1;
  const farthest = [...ends.map((end) => end.loop), middleLoop].map(
    (own) => own - source - wire[link]!,
  );
  const [near, far] = [Math.min(...farthest), Math.max(...farthest)];
  const least = circuit.readings[link]!.length > 0 ? (0.6 * near * lowest) / 5 : 0;
  for (const z of [-3, -2, -1, 0, 1, 2, 3]) {
    const rd = medianOhms * Math.exp(z * logSd);
    if (rd < far * 1.5 && rd > least) add(near - rd, far - rd, 0.35 * rd * Math.min(1, logSd));
  }
  return { features, most: longest };
}

/** The t at which a falling function shows this; -1 where it never does. */
function whereShown(at: (t: number) => number, shown: number, farthest: number): number {
  let [low, high] = [0, farthest];
  if (at(low) < shown) return -1;
  for (let turn = 0; turn < 30; turn++) {
    const middle = (low + high) / 2;
    if (at(middle) > shown) low = middle;
    else high = middle;
  }
  return low;
}
