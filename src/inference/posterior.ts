import type { Nuisance } from "./chain/point-likelihoods.ts";
import { blamelessLikelihood } from "./chain/restricted.ts";
import { factorOf, type WaysSum, wayWeights } from "./circuit-evidence.ts";
import {
  type Asked,
  type CircuitInference,
  CircuitSums,
  QUIET,
  type ReadingInference,
  type ReadingSums,
  type Share,
} from "./circuit-sums.ts";
import type { WalkProblem } from "./problem.ts";
import type { WalkNode } from "./walk-node.ts";

/** One value of the walk's shared numbers, with its part of the posterior. */
export interface InferredNode {
  readonly nuisance: Nuisance;
  readonly weight: number;
  /** Its weight where few nodes have to stand for all: sums to 1 as well. */
  readonly alone: number;
  readonly walk: WalkNode;
}

/** What the readings of a walk say of its circuits, connectors and readings. */
export interface WalkPosterior {
  readonly circuits: readonly CircuitInference[];
  /** By body: P(at least one faulty contact in it); absent where no circuit was read behind it. */
  readonly bodyAtFault: ReadonlyMap<number, number>;
  /** By the readings' numbers. */
  readonly readings: ReadonlyMap<number, ReadingInference>;
}

/** Resistances and readings are looked at where this much of the posterior is. */
const DETAILED = 0.999;
const MOST_DETAILED = 32;

/** With fewer circuits than this, the noise's scale is known so little that readings feel it. */
const FEW = 4;

export function posteriorOf(
  walk: WalkProblem,
  nodes: readonly InferredNode[],
  asked: Asked = "all",
): WalkPosterior {
  const detailed = detailedNodes(nodes);
  const inner = nodes.filter(({ alone }) => alone > NO_NODE);
  const sums = new Map<number, ReadingSums>();
  const few = walk.circuits.length < FEW;
  const circuits = walk.circuits.map((circuit, c) => {
    for (const { index } of circuit.readings.flat()) {
      sums.set(index, { misread: 0, off: 0, badMoment: 0, others: 0, below: 0, same: 0 });
    }
    const add = (to: CircuitSums, node: InferredNode, weight: number, share: Share): void => {
      for (const [ways, posterior] of configurationsOf(node.walk, c)) {
        for (const way of ways.ways) {
          to.add(way, wayWeights(ways, way, posterior), weight, share, node.nuisance);
        }
      }
      to.addBehind(weight, share, node.nuisance);
    };
    const own = new CircuitSums(walk, circuit, sums, asked);
    for (const node of inner) {
      const share = detailed.get(node) ?? 0;
      add(own, node, node.alone, { ohms: share, readings: share });
    }
    if (own.isQuiet() || (asked === "readings" && !few)) return own.found();
    for (const node of nodes) {
      const more = node.weight - node.alone;
      if (Math.abs(more) > NO_NODE) add(own, node, more, { ohms: 0, readings: few ? more : 0 });
    }
    return own.found();
  });
  const blanks = blankChances(walk);
  const readings = new Map(
    [...sums].map(([index, { misread, off, badMoment, others, below, same }]) => {
      const blank = blanks.get(index) ?? 0;
      const [less, equal] = others > 0 ? [below / others, same / others] : [0.5, 0];
      // Only zeros have a blank chance: nothing is shown under them.
      const expected = { below: (1 - blank) * less, same: (1 - blank) * equal + blank };
      return [index, { misread, off, badMoment, expected }] as const;
    }),
  );
  return {
    circuits,
    bodyAtFault: asked === "readings" ? new Map() : faultsOf(walk, nodes),
    readings,
  };
}

/** P(configuration | all readings) of a circuit, by its own sums: displays off elsewhere share them. */
function configurationsOf(
  { displays }: WalkNode,
  circuit: number,
): ReadonlyMap<WaysSum, Float64Array> {
  const found = new Map<WaysSum, Float64Array>();
  for (const { probability, circuits, sum } of displays) {
    const ways = circuits[circuit]!;
    const own = sum.posterior[circuit]!;
    const sofar = found.get(ways) ?? new Float64Array(own.length);
    found.set(
      ways,
      sofar.map((p, configuration) => p + probability * own[configuration]!),
    );
  }
  return found;
}

/** Chance that each zero was left by a display that was off, from the zeros before it alone. */
function blankChances({ zeroRuns }: WalkProblem): ReadonlyMap<number, number> {
  return new Map(
    zeroRuns.flatMap(({ readings, off, stays }) => {
      let before = 0;
      return readings.map((index, i) => {
        before = Math.min(1, off[i]! + stays * before);
        return [index, before] as const;
      });
    }),
  );
}

/** A node of less weight than this is left out. */
const NO_NODE = 5e-6;

/** P(a body holds at least one faulty contact), for every body that a read circuit passes. */
function faultsOf(walk: WalkProblem, nodes: readonly InferredNode[]): ReadonlyMap<number, number> {
  const faults = new Map<number, number>();
  for (const body of walk.bodies.keys()) {
    const linkOf = walk.circuits.map(({ links }) => links.findIndex((link) => link.body === body));
    if (linkOf.every((link) => link < 0)) continue;
    const at = ({ displays }: WalkNode): number => {
      const known = new Map<WaysSum, Float64Array>();
      const blamelessAt = (ways: WaysSum, link: number): Float64Array => {
        const values = known.get(ways) ?? blamelessValues(ways, link);
        known.set(ways, values);
        return values;
      };
      return displays.reduce(
        (blameless, { probability, circuits, sum }) =>
          blameless + probability * sum.chance(body, (c) => blamelessAt(circuits[c]!, linkOf[c]!)),
        0,
      );
    };
    let blameless = 0;
    for (const { alone, walk: node } of nodes) if (alone > NO_NODE) blameless += alone * at(node);
    if (1 - blameless >= QUIET) {
      for (const { alone, weight, walk: node } of nodes) {
        const more = weight - alone;
        if (Math.abs(more) > NO_NODE) blameless += more * at(node);
      }
    }
    faults.set(body, Math.min(1, Math.max(0, 1 - blameless)));
  }
  return faults;
}

/** The likelihood of a circuit's readings and that its contact of link k is not to blame. */
function blamelessValues({ ways, logScale, values }: WaysSum, link: number): Float64Array {
  const total = new Float64Array(values.length);
  for (const way of ways) {
    const { model, points, messages, last } = way;
    const size = model.mesh.t.length;
    const { shape, kernels } = model;
    const own = blamelessLikelihood(shape, kernels, points, messages, size, link, last);
    const factor = factorOf(way, logScale);
    for (let k = 0; k < total.length; k++) total[k]! += factor * own[k]!;
  }
  return total;
}

/** The likeliest nodes, with weights that sum to 1. */
function detailedNodes(nodes: readonly InferredNode[]): ReadonlyMap<InferredNode, number> {
  const falling = [...nodes].filter(({ alone }) => alone > 0).sort((a, b) => b.alone - a.alone);
  const kept: InferredNode[] = [];
  let sum = 0;
  for (const node of falling) {
    if (kept.length >= MOST_DETAILED || sum > DETAILED) break;
    kept.push(node);
    sum += node.alone;
  }
  return new Map(kept.map((node) => [node, node.alone / sum]));
}
