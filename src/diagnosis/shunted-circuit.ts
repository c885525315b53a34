import type { LogNormal } from "../domain/pool.ts";
import { normalDensity } from "../numerics/normal.ts";
import type { ChainPool } from "./chain-pool.ts";
import type { ChainPrior } from "./chain-prior.ts";
import { chainSum } from "./chain-sum.ts";
import type { CircuitReading } from "./circuit-model.ts";
import { type BlockShelf, blockShelf, contactKernel } from "./contact-kernel.ts";
import { likelihoodAt } from "./display-likelihood.ts";
import type { PanelTree } from "./mesh.ts";
import { shuntAxis, shuntMesh } from "./shunt-mesh.ts";
import { shownShare } from "./shunted-path.ts";

/** A circuit's readings by link, with what the loop around them is made of. */
export interface ShuntedCircuit {
  readonly prior: ChainPrior;
  readonly readings: readonly (readonly CircuitReading[])[];
  /** Source and all wires [Ω]. */
  readonly fixed: number;
  readonly device: LogNormal;
  readonly shelf: ShuntShelf;
}

/** What the loops of one pool share, kept for its next circuit or walk. */
export interface ShuntShelf {
  readonly axis: PanelTree;
  readonly sound: BlockShelf;
  readonly fouled: BlockShelf;
}

const shelves = new WeakMap<ChainPool, ShuntShelf>();
/** So many panels are kept. */
const MOST_PANELS = 400;

export function shuntShelf(pool: ChainPool): ShuntShelf {
  let shelf = shelves.get(pool);
  if (shelf === undefined || shelf.axis.panels.size > MOST_PANELS) {
    const { sound, fouled } = pool.contact;
    shelf = { axis: shuntAxis(), sound: blockShelf(sound), fouled: blockShelf(fouled) };
    shelves.set(pool, shelf);
  }
  return shelf;
}

/**
 * Density in ln(`rest`) of "these readings, and contacts and device together have `rest` ohms, no
 * contact open", by EMF and by body configuration.
 */
export function shuntedLikelihoods(
  circuit: ShuntedCircuit,
  rest: number,
  emfs: readonly number[],
): readonly Float64Array[] {
  const { prior, readings, fixed, device, shelf } = circuit;
  const loop = {
    rest,
    fixed,
    device,
    lowEmf: Math.min(...emfs),
    highEmf: Math.max(...emfs),
  };
  const mesh = shuntMesh(shelf.axis, readings.flat(), loop);
  const size = mesh.t.length;
  if (size === 0) return emfs.map(() => new Float64Array(prior.configurations));
  const axis = {
    size,
    sound: contactKernel(mesh, shelf.sound),
    fouled: contactKernel(mesh, shelf.fouled),
  };
  const mean = Math.log(device.medianOhms);
  const end = mesh.t.map((t) => {
    const ohms = rest - t;
    if (ohms <= 0) return 0;
    const z = (Math.log(ohms) - mean) / device.logSd;
    return (rest * normalDensity(z)) / (ohms * device.logSd);
  });
  const shares = readings.map((here) =>
    here.map(({ loadOhms, loopOhms }) =>
      mesh.t.map((t) => shownShare(loadOhms, loopOhms - loadOhms + t, fixed + rest)),
    ),
  );
  return emfs.map((emf) => {
    const points = new Float64Array(readings.length * size).fill(1);
    for (const [i, here] of readings.entries()) {
      for (const [n, { display }] of here.entries()) {
        const share = shares[i]![n]!;
        for (let m = 0; m < size; m++)
          points[i * size + m]! *= likelihoodAt(display, emf * share[m]!);
      }
    }
    return chainSum(prior, axis, points, end, null);
  });
}
