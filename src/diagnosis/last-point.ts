import { integralOf, polynomial, polynomialThrough } from "../numerics/polynomial.ts";
import type { CircuitModel } from "./circuit-model.ts";
import type { ContactPosterior } from "./circuit-posterior.ts";
import type { ContactKernel } from "./contact-kernel.ts";
import { type Mesh, NODES, RULE } from "./mesh.ts";

/** Probability by node of t behind the last link; the rest to 1 is open. */
export function behindLast(model: CircuitModel, posterior: ContactPosterior): Float64Array {
  const behind = new Float64Array(model.mesh.t.length);
  for (const [coupling, kernel] of [
    [posterior.sound, model.sound],
    [posterior.fouled, model.fouled],
  ] as const) {
    if (posterior.before.length > 1) addBehind(kernel, coupling, posterior.before, behind);
    else for (const [m, weight] of kernel.origin.entries()) behind[m]! += coupling[m]! * weight;
  }
  return behind;
}

/** behind[m] += sum over j of coupling[j][m] K[j][m], but for nodes j that hold next to nothing. */
function addBehind(
  { blocks, start, reach }: ContactKernel,
  coupling: Float64Array,
  before: Float64Array,
  behind: Float64Array,
): void {
  const size = behind.length;
  for (let j = 0; j < size; j++) {
    if (Math.abs(before[j]!) < NOTHING) continue;
    const panel = Math.floor(j / NODES);
    for (let b = 0; b < reach[panel]!; b++) {
      const block = blocks[start[panel]! + b]!;
      const at = (j % NODES) * NODES;
      const m = (panel + b) * NODES;
      for (let k = 0; k < NODES; k++)
        behind[m + k]! += coupling[j * size + m + k]! * block[at + k]!;
    }
  }
}

/** Probability of a node that no printed figure shows. */
const NOTHING = 1e-8;

/**
 * P(series resistance of contacts behind a point > `limit`), open paths included, from the
 * probability by node. Inside the limit's own panel the density is the polynomial through its
 * nodes.
 */
export function probabilityBeyond(mesh: Mesh, behind: Float64Array, limit: number): number {
  if (limit <= 0) return 1;
  const u = limit / (mesh.scale + limit);
  let within = 0;
  for (const [panel, { low, high }] of mesh.panels.entries()) {
    if (u <= low) break;
    const masses = behind.subarray(panel * NODES, (panel + 1) * NODES);
    if (u >= high) within += masses.reduce((sum, mass) => sum + mass, 0);
    else {
      const densities = masses.map((mass, k) => mass / RULE.weights[k]!);
      const density = polynomialThrough(RULE.nodes, densities);
      const x = (2 * (u - low)) / (high - low) - 1;
      within += polynomial(integralOf(density), x);
    }
  }
  return Math.min(1, Math.max(0, 1 - within));
}
