import type { LogNormal } from "../domain/pool.ts";
import { integrateStretches } from "../numerics/gauss-kronrod.ts";
import { gaussLegendre } from "../numerics/gauss-legendre.ts";
import type { ChainPool } from "./chain-pool.ts";
import { chainSum } from "./chain-sum.ts";
import {
  type CircuitMessages,
  type CircuitModel,
  type CircuitReading,
  circuitMessages,
} from "./circuit-model.ts";
import type { CircuitNode } from "./circuit-posterior.ts";
import { type EmfPosterior, logNormalDensity } from "./emf-node.ts";
import { loopBorders } from "./loop-range.ts";
import { type ShuntedCircuit, shuntedLikelihoods, shuntShelf } from "./shunted-circuit.ts";
import { type LaneModel, type WalkEvidence, walkEvidence } from "./walk-evidence.ts";
import { circuitModel, type ReadCircuit, type ReadWalk, shelfOf } from "./walk-model.ts";

/** A walk as it was solved, with one of its circuits in question. */
export interface QuestionedCircuit {
  readonly walk: ReadWalk;
  readonly lanes: readonly LaneModel[];
  readonly emf: EmfPosterior<WalkEvidence>;
  /** Place of the circuit: lane, and circuit in the lane. */
  readonly l: number;
  readonly c: number;
  readonly circuit: ReadCircuit;
  readonly model: CircuitModel;
  readonly nodes: readonly CircuitNode[];
}

/** A stretch of EMF [V]. */
export interface EmfStretch {
  readonly low: number;
  readonly high: number;
}

/** One EMF, and what the circuit's likelihood there counts for, by body configuration. */
interface WeightedEmf {
  readonly emf: number;
  readonly worth: Float64Array;
  readonly messages: CircuitMessages;
}

/** Stretches of the loop's resistance are halved until the two rules differ by this part. */
const SETTLED = 0.03;
/** Widest stretch to begin with, in standard deviations of the device's. */
const WIDEST = 1.8;
/** A peak no narrower than this is found without a mark. */
const BROAD = 0.25;
const DEEPEST = 8;
const RULE = gaussLegendre(6);
/** Widest stretch of EMF for one rule, in standard deviations of the circuit's say on it. */
const EMF_ACROSS = 4;

/**
 * P(all readings | the circuit's device has this fault) over P(all readings | it rests as it
 * should). An open contact cuts the device off: that part of the circuit's likelihood is the plain
 * path's, and the rest is integrated over the loop's resistance, the EMF and the bodies. The EMF is
 * integrated anew over `range`; null where the walk's own nodes will do, for other circuits decide.
 */
export function deviceBayesFactor(
  asked: QuestionedCircuit,
  device: LogNormal,
  range: EmfStretch | null,
): number {
  const { nodes, model } = range === null ? asIntegrated(asked) : integratedAnew(asked, range);
  const { pool, prior } = asked.walk;
  const { readings } = asked.circuit;
  const fixed = loopWire(pool);
  const shunted: ShuntedCircuit = {
    prior,
    readings,
    fixed,
    device,
    shelf: shuntShelf(pool),
  };
  const emfs = nodes.map(({ emf }) => emf);
  const total = (likelihoods: readonly Float64Array[]): number =>
    likelihoods.reduce((sum, likelihood, n) => sum + dot(nodes[n]!.worth, likelihood), 0);
  const { fouled } = pool.contact;
  const borders = loopBorders(readings, fixed, device, fouled, spreadOf(nodes), WIDEST, BROAD);
  const closed = integrateStretches(
    (logRest) => total(shuntedLikelihoods(shunted, Math.exp(logRest), emfs)),
    borders,
    SETTLED,
    DEEPEST,
  );
  return closed + total(nodes.map(({ messages }) => openPart(model, messages)));
}

/** Source and all wires of the pool's chain [Ω]. */
export const loopWire = ({ chain, supply }: ChainPool): number =>
  chain.reduce<number>((sum, { wireOhms }) => sum + wireOhms, supply.sourceOhms);

/** Where other circuits decide the EMF: the walk's own nodes, this circuit's likelihood taken out. */
function asIntegrated({ nodes, model }: QuestionedCircuit) {
  return {
    model,
    nodes: nodes.map(({ weight, messages, bodies }): WeightedEmf => {
      const { emf, likelihood, logScale } = messages;
      const scale = Math.exp(-logScale);
      const worth = bodies.map((posterior, c) =>
        posterior > 0 ? (weight * posterior * scale) / likelihood[c]! : 0,
      );
      return { emf, messages, worth };
    }),
  };
}

/** Where this circuit has its say on the EMF: the other circuits are weighed anew. */
function integratedAnew({ walk, emf, l, c, circuit }: QuestionedCircuit, stretch: EmfStretch) {
  const { pool, prior } = walk;
  const { emf: mean, emfSd: sd } = pool.supply;
  const { low, high } = stretch;
  const range = { seeds: [{ emf: (low + high) / 2, sd: (high - low) / 10 }], low, high };
  const shelf = shelfOf(pool);
  const others = walk.lanes.map((lane, i) => ({
    circuits: lane.circuits
      .filter((_, k) => i !== l || k !== c)
      .map((other) => circuitModel(walk, other, range, shelf)),
  }));
  const model = circuitModel(walk, circuit, range, shelf);
  const points = emfPoints(circuit, low, high);
  const evidence = walkEvidence(
    prior,
    others,
    points.map((point) => point.emf),
  );
  const nodes = points.map(({ emf: at, weight }, n): WeightedEmf => {
    const { logLikelihood, bodies } = evidence[n]!;
    const log = logLikelihood + (sd > 0 ? logNormalDensity(at, { mean, sd }) : 0) - emf.logEvidence;
    const scale = weight * Math.exp(log);
    return {
      emf: at,
      worth: bodies[l]!.map((posterior) => scale * posterior),
      messages: circuitMessages(model, at),
    };
  });
  return { model, nodes };
}

function emfPoints({ readings }: ReadCircuit, low: number, high: number) {
  if (low === high) return [{ emf: low, weight: 1 }];
  const count = Math.ceil((high - low) / (EMF_ACROSS * sayOnEmf(readings)));
  const half = (high - low) / count / 2;
  return Array.from({ length: count }, (_, i) =>
    Array.from(RULE.nodes, (x, k) => ({
      emf: low + half * (2 * i + 1 + x),
      weight: half * RULE.weights[k]!,
    })),
  ).flat();
}

/** How closely a sound circuit's readings together say what the EMF is [V]. */
export function sayOnEmf(readings: readonly (readonly CircuitReading[])[]): number {
  const all = readings.flat();
  return Math.min(...all.map(({ display }) => display.noise)) / Math.sqrt(all.length);
}

/** Likelihood of the circuit's readings with a contact open somewhere, by configuration. */
function openPart(model: CircuitModel, messages: CircuitMessages): Float64Array {
  const size = model.mesh.t.length;
  const { rows, pointOpen } = messages;
  const openFrom = pointOpen.slice();
  for (let i = openFrom.length - 2; i >= 0; i--) openFrom[i]! *= openFrom[i + 1]!;
  const axis = { size, sound: model.sound, fouled: model.fouled };
  return chainSum(model.prior, axis, rows, new Float64Array(size), openFrom);
}

const dot = (a: Float64Array, b: Float64Array): number =>
  a.reduce((sum, x, i) => sum + x * b[i]!, 0);

function spreadOf(nodes: readonly WeightedEmf[]) {
  const emfs = nodes.map(({ emf }) => emf);
  const [low, high] = [Math.min(...emfs), Math.max(...emfs)];
  return { mean: (low + high) / 2, spread: (high - low) / 6 };
}
