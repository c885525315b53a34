import type { CircuitModel } from "./circuit-model.ts";
import type { CircuitNode } from "./circuit-posterior.ts";
import type { EmfPosterior } from "./emf-node.ts";
import { emfRange } from "./emf-pilot.ts";
import { integrateEmf } from "./emf-posterior.ts";
import { likelihoodTable } from "./likelihood-table.ts";
import { type LaneModel, type WalkEvidence, walkEvidence } from "./walk-evidence.ts";
import { circuitModel, type ReadCircuit, type ReadWalk, shelfOf } from "./walk-model.ts";

/**
 * Lays a mesh for each circuit and integrates over the EMF, the bodies summed out at each node.
 * Meshes are laid anew where the EMF's posterior outgrows what they resolve. With `expected`, they
 * are also fine where the next reading of a sound path would be. Circuits that read alike share one
 * model.
 */
export function solve(
  walk: ReadWalk,
  expected = false,
): { readonly lanes: readonly LaneModel[]; readonly emf: EmfPosterior<WalkEvidence> } {
  const { prior, pool } = walk;
  const shelf = shelfOf(pool);
  const emfPrior = { mean: pool.supply.emf, sd: pool.supply.emfSd };
  const read = walk.lanes.map(({ circuits }) =>
    circuits
      .map(({ readings }) => readings)
      .filter((links) => links.some((readings) => readings.length > 0)),
  );
  const count = read.flat().length;
  const noise = Math.min(...pool.meters.map((meter) => meter.noise));
  let range = emfRange(walk.sketch, read, emfPrior);
  for (;;) {
    const models = new Map<string, CircuitModel>();
    const modelOf = (circuit: ReadCircuit): CircuitModel => {
      const key = JSON.stringify(
        circuit.readings.map((here) => here.map(({ loadOhms, display }) => [loadOhms, display])),
      );
      const model = models.get(key) ?? circuitModel(walk, circuit, range, shelf, expected);
      models.set(key, model);
      return model;
    };
    const lanes = walk.lanes.map(({ circuits }) => ({ circuits: circuits.map(modelOf) }));
    const evaluate = (emfs: readonly number[]) => walkEvidence(prior, lanes, emfs);
    const tabled = likelihoodTable(prior, lanes, noise);
    const logLikelihoods = (emfs: readonly number[]): readonly number[] =>
      count < TABLED ? evaluate(emfs).map(({ logLikelihood }) => logLikelihood) : emfs.map(tabled);
    const emf = integrateEmf(emfPrior, range, noise, evaluate, logLikelihoods);
    const counts = emf.nodes.filter(({ weight }) => weight > OUTGROWN);
    const low = Math.min(...counts.map((node) => node.emf));
    const high = Math.max(...counts.map((node) => node.emf));
    const room = Math.min(...range.seeds.map(({ sd }) => sd));
    if (low >= range.low - room && high <= range.high + room) return { lanes, emf };
    range = { ...range, low: Math.min(range.low, low), high: Math.max(range.high, high) };
  }
}

/** So many circuits make a table of each one's likelihood cheaper than the walk's at every EMF. */
const TABLED = 6;

/** A node of more weight than this must lie where the meshes are fine. */
const OUTGROWN = 1e-3;

/** One circuit's part of the EMF's nodes: lane `l`, circuit `c` of the walk. */
export function circuitNodes(
  emf: EmfPosterior<WalkEvidence>,
  l: number,
  c: number,
): readonly CircuitNode[] {
  return emf.nodes.map(({ weight, evidence }) => ({
    weight,
    messages: evidence.messages[l]![c]!,
    bodies: evidence.bodies[l]!,
  }));
}
