import { displayExplanations } from "./display-off.ts";
import { latticeAt, stream } from "./even-points.ts";
import { type LeafDraws, LeafSampler, type Shared } from "./leaf-sums.ts";
import { type Leaf, type PathState, pathStates, priorOf } from "./path-states.ts";
import type { Circuit, Walk } from "./read-circuits.ts";

/** One circuit with its states, its integrals and the weights that join them. */
export interface CircuitSums {
  readonly circuit: Circuit;
  readonly states: readonly PathState[];
  readonly leaves: readonly Leaf[];
  /** Global body of each link, or -1. */
  readonly bodies: readonly number[];
  /** Sets of this circuit's readings (bits) at which some explanation has the display off. */
  readonly variants: readonly number[];
  /** Index into `variants` for each explanation of the walk. */
  readonly variantOf: readonly number[];
  /** Sum of the priors of all states with a leaf; [mask][leaf]. */
  readonly priors: readonly Float64Array[];
  /** The same over states in which link k's own contact is not at fault; [k][mask][leaf]. */
  readonly blameless: readonly (readonly Float64Array[])[];
  readonly sampler: LeafSampler;
}

/** A walk made ready to be summed. */
export interface ReadyWalk {
  readonly walk: Walk;
  readonly explanations: readonly { readonly off: ReadonlySet<number>; readonly weight: number }[];
  /** Prior chance of each set of contaminated bodies. */
  readonly bodySets: readonly number[];
  readonly circuits: readonly CircuitSums[];
}

const masksOf = (length: number): number[] => Array.from({ length: 2 ** length }, (_, i) => i);

/** The bits of one circuit's links under a global set of contaminated bodies. */
export const maskUnder = (bodies: readonly number[], set: number): number =>
  bodies.reduce((mask, body, k) => mask | (body >= 0 && (set >> body) & 1 ? 1 << k : 0), 0);

const readyCircuit = (
  walk: Walk,
  circuit: Circuit,
  owners: readonly string[],
  explanations: ReadyWalk["explanations"],
): CircuitSums => {
  const { states, leaves } = pathStates(walk, circuit);
  const offSets = explanations.map(({ off }) =>
    circuit.readings.reduce((bits, { row }, j) => bits | (off.has(row) ? 1 << j : 0), 0),
  );
  const variants = [...new Set(offSets)];
  const tables = (counts: (state: PathState) => boolean) =>
    masksOf(circuit.path.length).map((mask) => {
      const sums = new Float64Array(leaves.length);
      for (const state of states) {
        if (counts(state)) sums[state.leaf]! += priorOf(walk, circuit, state, mask);
      }
      return sums;
    });
  return {
    circuit,
    states,
    leaves,
    bodies: circuit.path.map(({ owner }) => owners.indexOf(owner)),
    variants,
    variantOf: offSets.map((set) => variants.indexOf(set)),
    priors: tables(() => true),
    blameless: circuit.path.map((_, k) => tables(({ states: s }) => s[k] === "s" || s[k] === "c")),
    sampler: new LeafSampler(walk, circuit, leaves),
  };
};

export const readyWalk = (walk: Walk): ReadyWalk => {
  const explanations = displayExplanations(walk);
  const chances = new Map<string, number>();
  for (const { path } of walk.circuits) {
    for (const { owner, contaminated } of path) if (contaminated) chances.set(owner, contaminated);
  }
  const owners = [...chances.keys()];
  const bodySets = masksOf(owners.length).map((set) =>
    owners.reduce((p, owner, b) => {
      const contaminated = chances.get(owner)!;
      return p * ((set >> b) & 1 ? contaminated : 1 - contaminated);
    }, 1),
  );
  const circuits = walk.circuits.map((c) => readyCircuit(walk, c, owners, explanations));
  return { walk, explanations, bodySets, circuits };
};

/** One circuit's sums at one set of shared numbers. */
export interface CircuitAtPoint {
  readonly draws: LeafDraws;
  /** Mean over draws of the readings' chance; [variant][leaf]. */
  readonly leafMeans: readonly Float64Array[];
  /** Sum over leaves; [variant][mask]. */
  readonly totals: readonly Float64Array[];
}

const meansOf = (
  draws: LeafDraws,
  leaves: number,
  used: readonly number[],
  off: number,
  n: number,
) => {
  const means = new Float64Array(leaves);
  for (const leaf of used) {
    for (let m = 0; m < draws.count; m++) {
      const slot = leaf * draws.count + m;
      let product = draws.weight[slot]!;
      for (let j = 0; j < n; j++) if (!((off >> j) & 1)) product *= draws.chance[slot * n + j]!;
      means[leaf]! += product / draws.count;
    }
  }
  return means;
};

const weighed = (tables: readonly Float64Array[], means: Float64Array, used: readonly number[]) =>
  Float64Array.from(tables, (table) =>
    used.reduce((sum, leaf) => sum + table[leaf]! * means[leaf]!, 0),
  );

/** Draws and sums every circuit at one set of shared numbers. */
export const sumCircuits = (
  ready: ReadyWalk,
  shared: Shared,
  used: readonly (readonly number[])[],
  count: number,
  seed: number,
): CircuitAtPoint[] =>
  ready.circuits.map(({ sampler, leaves, circuit, variants, priors }, c) => {
    const random = stream(seed * 16 + c);
    const shifts = Array.from({ length: sampler.axes }, random);
    const draws = sampler.draw(shared, used[c]!, count, (m, axis) =>
      latticeAt(m, axis, shifts[axis]!),
    );
    const leafMeans = variants.map((off) =>
      meansOf(draws, leaves.length, used[c]!, off, circuit.readings.length),
    );
    return { draws, leafMeans, totals: leafMeans.map((means) => weighed(priors, means, used[c]!)) };
  });

/** Sum over bodies and displays of a product over circuits; `value(c, variant, mask)`. */
export const sumOverAll = (
  ready: ReadyWalk,
  value: (c: number, variant: number, mask: number) => number,
  counts: (explanation: number) => boolean = () => true,
): number =>
  ready.explanations.reduce((total, { weight }, e) => {
    if (!counts(e)) return total;
    const sum = ready.bodySets.reduce((all, chance, set) => {
      const product = ready.circuits.reduce(
        (p, { bodies, variantOf }, c) => p * value(c, variantOf[e]!, maskUnder(bodies, set)),
        chance,
      );
      return all + product;
    }, 0);
    return total + weight * sum;
  }, 0);

/** What everything but circuit `c` says for each of its variants and masks. */
export const contextOf = (
  ready: ReadyWalk,
  at: readonly CircuitAtPoint[],
  c: number,
): Float64Array[] => {
  const own = ready.circuits[c]!;
  const context = own.variants.map(() => new Float64Array(2 ** own.circuit.path.length));
  ready.explanations.forEach(({ weight }, e) => {
    ready.bodySets.forEach((chance, set) => {
      const others = ready.circuits.reduce(
        (p, { bodies, variantOf }, d) =>
          d === c ? p : p * at[d]!.totals[variantOf[e]!]![maskUnder(bodies, set)]!,
        chance * weight,
      );
      context[own.variantOf[e]!]![maskUnder(own.bodies, set)]! += others;
    });
  });
  return context;
};
/** The same table over states in which link k's own contact is not at fault. */
export const blamelessTotals = (
  { blameless }: CircuitSums,
  { leafMeans }: CircuitAtPoint,
  used: readonly number[],
  k: number,
): Float64Array[] => leafMeans.map((means) => weighed(blameless[k]!, means, used));
