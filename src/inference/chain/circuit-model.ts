import type { CircuitProblem, LogNormalPart, WalkProblem } from "../problem.ts";
import {
  type BlockShelf,
  blockShelf,
  type ContactKernel,
  contactKernel,
} from "./contact-kernel.ts";
import { axisEnd, circuitFeatures, type NuisanceRange } from "./features.ts";
import { buildMesh, type Feature, type Mesh, type PanelTree, panelTree } from "./mesh.ts";
import type { ChainKernels } from "./messages.ts";
import type { BadMoments } from "./point-likelihoods.ts";
import { type ChainShape, chainShape } from "./shape.ts";

/** One circuit with its mesh and kernels: all that does not depend on the walk's shared numbers. */
export interface CircuitModel {
  readonly circuit: CircuitProblem;
  readonly shape: ChainShape;
  readonly mesh: Mesh;
  readonly kernels: ChainKernels;
  readonly bad: BadMoments;
}

/** A circuit's shapes, each with its chance: one for each pattern of its contacts' states. */
export const shapesOf = ({
  circuit: { patterns },
  shape,
}: CircuitModel): readonly { readonly chance: number; readonly shape: ChainShape }[] =>
  patterns === undefined
    ? [{ chance: 1, shape }]
    : patterns.map(({ chance, states }) => {
        const links = shape.links.map((link, k) => ({ ...link, states: states[k]! }));
        return { chance, shape: { ...shape, links } };
      });

/** What the walks of one facility share, kept for its next circuit or walk. */
export interface Shelf {
  readonly tree: PanelTree;
  readonly laws: Map<string, BlockShelf>;
  readonly meshes: Map<
    string,
    { readonly mesh: Mesh; readonly kernels: Map<string, ContactKernel> }
  >;
  readonly shapes: WeakMap<CircuitProblem["links"], ChainShape>;
}

export const emptyShelf = (scale: number): Shelf => ({
  tree: panelTree(scale),
  laws: new Map(),
  meshes: new Map(),
  shapes: new WeakMap(),
});

/** So many meshes with their kernels are kept. */
const MOST_MESHES = 2000;

/**
 * Lays a circuit's mesh, fine wherever one of its readings may put the resistance.
 *
 * @param loop Where a path that conducts has more to it, and the resistance that none exceeds [Ω].
 */
export function circuitModel(
  walk: WalkProblem,
  circuit: CircuitProblem,
  range: NuisanceRange,
  shelf: Shelf,
  loop: { readonly features: readonly Feature[]; readonly most: number } | null = null,
): CircuitModel {
  const { scale } = shelf.tree;
  const features = [...circuitFeatures(circuit, scale, range), ...(loop?.features ?? [])];
  const end = loop === null ? axisEnd(circuit, features) : loop.most / (scale + loop.most);
  const kept = meshFor(shelf, features, end);
  const kernelOf = (law: readonly LogNormalPart[]): ContactKernel => kernelFor(shelf, kept, law);
  let shape = shelf.shapes.get(circuit.links);
  if (shape === undefined) {
    shape = chainShape(circuit.links);
    shelf.shapes.set(circuit.links, shape);
  }
  return {
    circuit,
    shape,
    mesh: kept.mesh,
    kernels: {
      sound: circuit.links.map(({ sound }) => kernelOf(sound)),
      fouled: circuit.links.map(({ fouled }) => kernelOf(fouled)),
    },
    bad: { kernel: kernelOf(walk.badMoments.law), fouled: walk.badMoments.fouled },
  };
}

type KeptMesh = { readonly mesh: Mesh; readonly kernels: Map<string, ContactKernel> };

function meshFor(shelf: Shelf, features: readonly Feature[], end: number): KeptMesh {
  const key = JSON.stringify([end, ...features.map(({ low, high, width }) => [low, high, width])]);
  let kept = shelf.meshes.get(key);
  if (kept === undefined) {
    if (shelf.meshes.size > MOST_MESHES) {
      shelf.meshes.clear();
      shelf.laws.clear();
      shelf.tree.panels.clear();
    }
    kept = { mesh: buildMesh(shelf.tree, features, end), kernels: new Map() };
    shelf.meshes.set(key, kept);
  }
  return kept;
}

function kernelFor(shelf: Shelf, kept: KeptMesh, law: readonly LogNormalPart[]): ContactKernel {
  const key = lawKey(law);
  let kernel = kept.kernels.get(key);
  if (kernel === undefined) {
    const blocks = shelf.laws.get(key) ?? blockShelf(law);
    shelf.laws.set(key, blocks);
    kernel = contactKernel(kept.mesh, blocks);
    kept.kernels.set(key, kernel);
  }
  return kernel;
}

const keys = new WeakMap<readonly LogNormalPart[], string>();

function lawKey(law: readonly LogNormalPart[]): string {
  let key = keys.get(law);
  if (key === undefined) {
    key = law.map(({ share, medianOhms, logSd }) => `${share} ${medianOhms} ${logSd}`).join("; ");
    keys.set(law, key);
  }
  return key;
}
