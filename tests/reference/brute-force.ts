import type { Lane } from "../../src/domain/place.ts";
import { filmPart } from "../../src/domain/pool.ts";
import type { Reading } from "../../src/domain/reading.ts";
import type { TestPool as Pool } from "../plain-pool.ts";
import { bodyCombinations, type ContactState } from "./body-states.ts";
import {
  circuitLikelihood,
  ending,
  type NodeIntegrals,
  nodeChance,
  nodeIntegrals,
  type ReadCircuit,
  readCircuits,
} from "./circuit-table.ts";
import { emfNodes, emfPrior, quantileOfDensity } from "./emf-grid.ts";
import {
  addLogNormal,
  addPoints,
  emptyMass,
  quantileOf,
  type ResistanceMass,
} from "./histogram.ts";
import { sobolPoints } from "./sobol.ts";

/** Median and 90 % interval; null where the quantile is an open circuit. */
export interface Quantiles {
  readonly median: number | null;
  readonly low: number | null;
  readonly high: number | null;
}

/** One walk's exact answer, in the words of the JSON output. */
export interface ReferenceAnswer {
  readonly logEvidence: number;
  readonly emf: Quantiles;
  readonly connectors: readonly {
    readonly point: string;
    readonly lane: Lane | null;
    readonly device: string | null;
    readonly atFault: number;
  }[];
  readonly contacts: readonly {
    readonly lane: Lane | null;
    readonly device: string;
    readonly point: string;
    readonly sound: number;
    readonly fouled: number;
    readonly open: number;
    readonly ohms: Quantiles;
  }[];
}

/** How finely to integrate. */
export interface Resolution {
  /** Quasi-random points for each combination of states; a power of two. */
  readonly points: number;
  /** Digital shift of the points: other points, same evenness. */
  readonly shift: number;
}

/** What one circuit contributes under one set of bodies. */
type Contribution = (circuit: number, mask: number) => number;

/** Sum over all body states: one set for the pool, one for each lane given the pool's. */
const sumOverBodies = (
  pool: Pool,
  circuits: readonly ReadCircuit[],
  contribution: Contribution,
): number => {
  const lanes = [...new Set(circuits.map(({ lane }) => lane))];
  const ofLanes = bodyCombinations(pool, "lane");
  return bodyCombinations(pool, "pool").reduce<number>((total, shared) => {
    const product = lanes.reduce<number>((all, lane) => {
      const members = circuits.flatMap((circuit, c) => (circuit.lane === lane ? [c] : []));
      const laneSum = ofLanes.reduce<number>((sum, own) => {
        const mask = shared.mask | own.mask;
        return sum + members.reduce((p, c) => p * contribution(c, mask), own.probability);
      }, 0);
      return all * laneSum;
    }, shared.probability);
    return total + product;
  }, 0);
};

/** Memo of the plain likelihoods of all circuits at one EMF. */
const plainContribution = (
  pool: Pool,
  circuits: readonly ReadCircuit[],
  tables: readonly NodeIntegrals[],
): Contribution => {
  const known = new Map<number, number>();
  return (c, mask) => {
    const key = c * 4096 + mask;
    const value = known.get(key) ?? circuitLikelihood(pool, circuits[c]!, tables[c]!, mask);
    known.set(key, value);
    return value;
  };
};

const states: readonly ContactState[] = ["sound", "fouled", "open"];

interface Connector {
  readonly k: number;
  readonly lane: Lane | null;
  readonly device: string | null;
  readonly members: readonly number[];
}

/** The connectors that read circuits pass, in the order of the chain. */
const connectorsOf = (pool: Pool, circuits: readonly ReadCircuit[]): Connector[] =>
  pool.chain.flatMap(({ sharedBy }, k) => {
    const groups = new Map<string, Connector & { members: number[] }>();
    circuits.forEach(({ lane, device }, c) => {
      const owner = {
        lane: sharedBy === "pool" ? null : lane,
        device: sharedBy === "device" ? device : null,
      };
      const key = JSON.stringify(owner);
      const group = groups.get(key) ?? { k, ...owner, members: [] };
      group.members.push(c);
      groups.set(key, group);
    });
    return [...groups.values()];
  });

/** Everything that is wanted, as unnormalised sums that grow EMF by EMF. */
interface Sums {
  readonly evidence: number[];
  readonly allSound: Float64Array;
  readonly stateOf: Float64Array[][];
  /** The part of `stateOf` that stands behind everything that was read: still the prior. */
  readonly priorOf: Float64Array[][];
  /** Resistances of the other part. */
  readonly masses: ResistanceMass[][];
}

/** Adds one EMF's share (prior density times step) of everything. */
const addEmf = (
  pool: Pool,
  circuits: readonly ReadCircuit[],
  points: readonly Float64Array[],
  connectors: readonly Connector[],
  emf: number,
  share: number,
  sums: Sums,
): void => {
  const tables = circuits.map((circuit) => nodeIntegrals(pool, circuit, points, emf));
  const plain = plainContribution(pool, circuits, tables);
  const evidence = share * sumOverBodies(pool, circuits, plain);
  sums.evidence.push(evidence);
  connectors.forEach(({ k, members }, index) => {
    const sound: Contribution = (c, mask) =>
      members.includes(c)
        ? circuitLikelihood(pool, circuits[c]!, tables[c]!, mask, { k, state: "sound" })
        : plain(c, mask);
    sums.allSound[index]! += share * sumOverBodies(pool, circuits, sound);
  });
  circuits.forEach((circuit, c) => {
    const confined = (k: number, state: ContactState, unreached: boolean): number =>
      share *
      sumOverBodies(pool, circuits, (d, mask) =>
        d === c
          ? circuitLikelihood(pool, circuit, tables[c]!, mask, { k, state, unreached })
          : plain(d, mask),
      );
    pool.chain.forEach((_, k) => {
      states.forEach((state, s) => {
        sums.stateOf[c]![k]![s]! += confined(k, state, false);
        sums.priorOf[c]![k]![s]! += confined(k, state, true);
      });
    });
    nodeIntegrals(pool, circuit, points, emf, (node, weights, ohms) => {
      const outside = sumOverBodies(pool, circuits, (d, mask) =>
        d === c ? nodeChance(pool, node, mask) * ending(pool, circuit, node, mask) : plain(d, mask),
      );
      const factor = (share * outside) / weights.length;
      ohms.forEach((r, k) => {
        addPoints(sums.masses[c]![k]!, r, weights, factor);
      });
    });
  });
};

const quantiles = (at: (p: number) => number | null): Quantiles => ({
  median: at(0.5),
  low: at(0.05),
  high: at(0.95),
});

/** Share of the evidence that an EMF node must hold for the resistances to be worth adding. */
const negligible = 1e-9;

/**
 * The diagnosis of one walk by brute force: every combination of body states and contact states by
 * enumeration, resistances by quasi-random points, the EMF by the trapezoidal rule. Written from
 * the model alone, to judge the grid of messages by; series path only, no rival explanations.
 */
export const bruteForce = (
  pool: Pool,
  readings: readonly Reading[],
  { points: count, shift }: Resolution,
): ReferenceAnswer => {
  const circuits = readCircuits(pool, readings);
  const connectors = connectorsOf(pool, circuits);
  const likelihoodWith = (points: readonly Float64Array[]) => (emf: number) =>
    sumOverBodies(
      pool,
      circuits,
      plainContribution(
        pool,
        circuits,
        circuits.map((circuit) => nodeIntegrals(pool, circuit, points, emf)),
      ),
    );
  const coarse = likelihoodWith(sobolPoints(pool.chain.length, 512, shift));
  const nodes = emfNodes(pool, coarse);
  const step = nodes[1]! - nodes[0]!;
  const rough = nodes.map((emf) => emfPrior(pool, emf) * coarse(emf));
  const least = negligible * Math.max(...rough);
  const used = nodes.filter((_, i) => rough[i]! > least);
  const sums: Sums = {
    evidence: [],
    allSound: new Float64Array(connectors.length),
    stateOf: circuits.map(() => pool.chain.map(() => new Float64Array(3))),
    priorOf: circuits.map(() => pool.chain.map(() => new Float64Array(3))),
    masses: circuits.map(() => pool.chain.map(emptyMass)),
  };
  const points = sobolPoints(pool.chain.length, count, shift);
  for (const emf of used) {
    addEmf(pool, circuits, points, connectors, emf, emfPrior(pool, emf) * step, sums);
  }
  const evidence = sums.evidence.reduce((sum, e) => sum + e, 0);
  return {
    logEvidence: Math.log(evidence),
    emf: quantiles((p) => quantileOfDensity(used, sums.evidence, p)),
    connectors: connectors.map(({ k, lane, device }, index) => ({
      point: pool.chain[k]!.point,
      lane,
      device,
      atFault: 1 - sums.allSound[index]! / evidence,
    })),
    contacts: circuits.flatMap(({ lane, device }, c) =>
      pool.chain.map(({ point }, k) => {
        const [sound, fouled, open] = [...sums.stateOf[c]![k]!].map((s) => s / evidence);
        const mass = sums.masses[c]![k]!;
        const [priorSound, priorFouled] = sums.priorOf[c]![k]!;
        addLogNormal(mass, pool.contact.sound, priorSound!);
        addLogNormal(mass, filmPart(pool.contact), priorFouled!);
        mass.open = sums.stateOf[c]![k]![2]!;
        return {
          lane,
          device,
          point,
          sound: sound!,
          fouled: fouled!,
          open: open!,
          ohms: quantiles((p) => quantileOf(mass, p)),
        };
      }),
    ),
  };
};
