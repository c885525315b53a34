import { normalCdfFast } from "../numerics/normal-table.ts";
import type { CircuitModel } from "./circuit-model.ts";
import type { CircuitNode } from "./circuit-posterior.ts";
import { type PatternMessages, patternMessages, patternPriors } from "./fault-patterns.ts";

/** The meter that the next reading is taken with, at one point. */
export interface NextMeter {
  readonly loadOhms: number;
  /** Everything in the loop but contacts, by link [Ω]. */
  readonly loopOhms: readonly number[];
  readonly noise: number;
  readonly misread: number;
  /** Largest value that a misread display may show [V]. */
  readonly span: number;
}

/**
 * The expected information, in bits, that one more reading at each point of a circuit brings about
 * which of its contacts are faulty: the mutual information of the fault pattern and the value
 * shown, the EMF and the bodies summed out. By link.
 *
 * The value is cut into bins that follow the mesh: finer than the noise where the circuit's
 * readings and a sound path are, coarser beyond, where every value means the same.
 */
export function expectedBits(
  model: CircuitModel,
  nodes: readonly CircuitNode[],
  meter: NextMeter,
): readonly number[] {
  const links = model.prior.links.length;
  const edges = meter.loopOhms.map((loop) => binEdges(model, nodes, meter, loop));
  const joint = edges.map((of) => new Float64Array((of.length - 1) << links));
  for (const node of nodes) {
    const { likelihood } = node.messages;
    const omega = node.bodies.map((posterior, c) =>
      likelihood[c]! > 0 ? posterior / likelihood[c]! : 0,
    );
    const priors = patternPriors(model.prior, omega);
    const messages = patternMessages(model, node.messages);
    for (let i = 0; i < links; i++) {
      addJoint(model, node, meter, messages, priors, i, edges[i]!, joint[i]!);
    }
  }
  return joint.map((table, i) => mutualBits(table, misreadShares(meter, edges[i]!), meter.misread));
}

/** Borders of the bins of the value shown [V], descending from the EMF to 0. */
function binEdges(
  model: CircuitModel,
  nodes: readonly CircuitNode[],
  meter: NextMeter,
  loop: number,
): Float64Array {
  const emf = nodes.reduce((sum, { weight, messages }) => sum + weight * messages.emf, 0);
  const { panels, scale } = model.mesh;
  const edges = [Number.POSITIVE_INFINITY];
  for (let cell = 1; cell < 4; cell++) edges.push(emf + (4 - cell) * 0.7 * meter.noise);
  for (const { low, high } of panels) {
    for (let part = 0; part < 3; part++) {
      const u = low + (part / 3) * (high - low);
      edges.push((emf * meter.loadOhms) / (loop + (scale * u) / (1 - u)));
    }
  }
  edges.push(2 * meter.noise, Number.NEGATIVE_INFINITY);
  return Float64Array.from(edges).sort().reverse();
}

/** Adds P(pattern, bin) at one EMF, normalised to the node's weight. */
function addJoint(
  model: CircuitModel,
  node: CircuitNode,
  meter: NextMeter,
  messages: PatternMessages,
  priors: Float64Array,
  i: number,
  edges: Float64Array,
  joint: Float64Array,
): void {
  const size = model.mesh.t.length;
  const bins = edges.length - 1;
  const shown = binProbabilities(model, node.messages.emf, meter, meter.loopOhms[i]!, edges);
  const found = new Float64Array(joint.length);
  const front = messages.front[i]!;
  const back = messages.back[i]!;
  let total = 0;
  for (let pattern = 0; pattern < priors.length; pattern++) {
    const p = pattern & ((2 << i) - 1);
    const q = pattern >> (i + 1);
    const scale = priors[pattern]!;
    const to = pattern * bins;
    const open = messages.frontOpen[i]![p]! * messages.backOpen[i]![q]!;
    for (let m = 0; m <= size; m++) {
      const mass = scale * (m < size ? front[p * size + m]! * back[q * size + m]! : open);
      if (mass === 0) continue;
      total += mass;
      const { first, values } = shown[m]!;
      for (let b = 0; b < values.length; b++) found[to + first + b]! += mass * values[b]!;
    }
  }
  const scale = node.weight / total;
  for (let at = 0; at < found.length; at++) joint[at]! += scale * found[at]!;
}

/** P(bin | path) for every node, and last for an open path; only the bins that count. */
function binProbabilities(
  model: CircuitModel,
  emf: number,
  { loadOhms, noise }: NextMeter,
  loop: number,
  edges: Float64Array,
): readonly { readonly first: number; readonly values: Float64Array }[] {
  const of = (volts: number) => {
    let first = 0;
    while (edges[first + 1]! > volts + 5 * noise) first++;
    let end = first;
    while (end < edges.length - 1 && edges[end]! > volts - 5 * noise) end++;
    const values = new Float64Array(end - first);
    let above = 1;
    for (let b = first; b < end; b++) {
      const below = b + 1 === end ? 0 : normalCdfFast((edges[b + 1]! - volts) / noise);
      values[b - first] = above - below;
      above = below;
    }
    return { first, values };
  };
  const alive = Array.from(model.mesh.t, (t) => of((emf * loadOhms) / (loop + t)));
  return [...alive, of(0)];
}

/** P(bin | the value was misread): even over the span. */
function misreadShares({ span }: NextMeter, edges: Float64Array): Float64Array {
  const clip = (volts: number): number => Math.min(span, Math.max(0, volts));
  return Float64Array.from(
    { length: edges.length - 1 },
    (_, b) => (clip(edges[b]!) - clip(edges[b + 1]!)) / span,
  );
}

/**
 * Mutual information of rows and columns of a joint table [pattern][bin], in bits. A polynomial may
 * dip under 0 where there is next to nothing: such a cell counts as empty.
 */
export function mutualBits(
  joint: Float64Array,
  misreadShare: Float64Array,
  misread: number,
): number {
  const bins = misreadShare.length;
  const patterns = joint.length / bins;
  const ofPattern = new Float64Array(patterns);
  const ofBin = new Float64Array(bins);
  for (let at = 0; at < joint.length; at++) {
    const mass = Math.max(0, joint[at]!);
    ofPattern[Math.floor(at / bins)]! += mass;
    ofBin[at % bins]! += mass;
  }
  let nats = 0;
  for (let at = 0; at < joint.length; at++) {
    const pattern = ofPattern[Math.floor(at / bins)]!;
    const garbled = misread * misreadShare[at % bins]!;
    const mass = (1 - misread) * Math.max(0, joint[at]!) + garbled * pattern;
    const column = (1 - misread) * ofBin[at % bins]! + garbled;
    if (mass > 0) nats += mass * (Math.log(mass) - Math.log(pattern) - Math.log(column));
  }
  return Math.max(0, nats / Math.LN2);
}
