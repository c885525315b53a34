import type { ChainPrior } from "./chain-prior.ts";
import { lagrangeBasis, NODES, RULE } from "./mesh.ts";
import {
  type CircuitLikelihood,
  type LaneModel,
  sumBodies,
  walkEvidence,
} from "./walk-evidence.ts";

/** Width of a stretch in one reading's noise: four readings of a point are resolved in it. */
const STRETCH = 1.8;

/** A stretch of EMF with every circuit's likelihood at its Gauss nodes. */
interface Stretch {
  readonly low: number;
  readonly high: number;
  /** By lane, by circuit. */
  readonly lanes: readonly (readonly TabledCircuit[])[];
}

interface TabledCircuit {
  readonly logScale: number;
  /** Likelihood times exp(-logScale), [node][configuration]. */
  readonly values: readonly Float64Array[];
}

/**
 * ln P(all displayed values | EMF) of a walk as a function of the EMF. A circuit's likelihood varies
 * with the EMF no faster than its readings' noise [V], however narrow the product of all circuits
 * is: between a few EMFs it is the polynomial through them. Stretches are worked out when first
 * asked for.
 */
export function likelihoodTable(
  prior: ChainPrior,
  lanes: readonly LaneModel[],
  noise: number,
): (emf: number) => number {
  const width = STRETCH * noise;
  const stretches = new Map<number, Stretch>();
  const basis = new Float64Array(NODES);
  return (emf) => {
    const index = Math.floor(emf / width);
    const stretch = stretches.get(index) ?? stretchAt(prior, lanes, index * width, width);
    stretches.set(index, stretch);
    lagrangeBasis(stretch, emf, basis);
    const here = stretch.lanes.map((circuits) => circuits.map((one) => interpolated(one, basis)));
    return sumBodies(prior, here).logLikelihood;
  };
}

function stretchAt(
  prior: ChainPrior,
  lanes: readonly LaneModel[],
  low: number,
  width: number,
): Stretch {
  const emfs = Array.from(RULE.nodes, (x) => low + (width * (1 + x)) / 2);
  const evidence = walkEvidence(prior, lanes, emfs);
  const tabled = lanes.map(({ circuits }, l) =>
    circuits.map((_, c): TabledCircuit => {
      const messages = evidence.map((one) => one.messages[l]![c]!);
      const logScale = Math.max(...messages.map((one) => one.logScale));
      const values = messages.map(({ likelihood, logScale: own }) =>
        likelihood.map((value) => value * Math.exp(own - logScale)),
      );
      return { logScale, values };
    }),
  );
  return { low, high: low + width, lanes: tabled };
}

function interpolated({ logScale, values }: TabledCircuit, basis: Float64Array): CircuitLikelihood {
  const likelihood = new Float64Array(values[0]!.length);
  for (let n = 0; n < NODES; n++) {
    const share = basis[n]!;
    const own = values[n]!;
    for (let c = 0; c < likelihood.length; c++) likelihood[c]! += share * own[c]!;
  }
  // Far from where a circuit's readings allow the EMF, the polynomial may dip under 0.
  for (let c = 0; c < likelihood.length; c++) {
    likelihood[c] = Math.max(likelihood[c]!, Number.MIN_VALUE);
  }
  return { likelihood, logScale };
}
