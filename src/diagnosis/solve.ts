import type { EmfPosterior } from "./emf-node.ts";
import { emfSeeds } from "./emf-pilot.ts";
import { integrateEmf } from "./emf-posterior.ts";
import { type LaneModel, type WalkEvidence, walkEvidence } from "./walk-evidence.ts";
import { circuitModel, type KernelShelf, type ReadWalk } from "./walk-model.ts";

/**
 * Lays a mesh for each circuit and integrates over the EMF, the bodies summed out at each node.
 * Meshes are laid anew where the EMF's posterior outgrows what they resolve. With `expected`, they
 * are also fine where the next reading of a sound path would be.
 */
export function solve(
  walk: ReadWalk,
  shelf: KernelShelf,
  expected = false,
): { readonly lanes: readonly LaneModel[]; readonly emf: EmfPosterior<WalkEvidence> } {
  const { prior, pool } = walk;
  const emfPrior = { mean: pool.supply.emf, sd: pool.supply.emfSd };
  const circuits = walk.lanes.flatMap((lane) => lane.circuits.map(({ readings }) => readings));
  const read = circuits.filter((links) => links.some((readings) => readings.length > 0));
  const seeds = emfSeeds(prior, read, emfPrior);
  let low = Math.min(...seeds.map(({ emf, sd }) => emf - 5 * sd));
  let high = Math.max(...seeds.map(({ emf, sd }) => emf + 5 * sd));
  for (;;) {
    const lanes = walk.lanes.map((lane) => ({
      circuits: lane.circuits.map((circuit) =>
        circuitModel(walk, circuit, { low, high }, shelf, expected),
      ),
    }));
    const emf = integrateEmf(emfPrior, seeds, read.length, (emfs) =>
      walkEvidence(prior, lanes, emfs),
    );
    const least = emf.nodes[0]!.emf;
    const most = emf.nodes.at(-1)!.emf;
    const room = (high - low) / 2;
    if (least >= low - room && most <= high + room) return { lanes, emf };
    low = Math.min(low, least);
    high = Math.max(high, most);
  }
}
