import type { CircuitModel } from "./circuit-model.ts";
import type { ContactPosterior } from "./circuit-posterior.ts";
import type { ContactKernel } from "./contact-kernel.ts";
import { type Mesh, NODES, RULE } from "./mesh.ts";
import { polynomial, polynomialThrough } from "./polynomial.ts";

/** Probability by node of t behind the last link; the rest to 1 is open. */
export function behindLast(model: CircuitModel, posterior: ContactPosterior): Float64Array {
  const behind = new Float64Array(model.mesh.t.length);
  for (const [coupling, kernel] of [
    [posterior.sound, model.sound],
    [posterior.fouled, model.fouled],
  ] as const) {
    if (posterior.before.length > 1) addBehind(kernel, coupling, behind);
    else for (const [m, weight] of kernel.origin.entries()) behind[m]! += coupling[m]! * weight;
  }
  return behind;
}

/** behind[m] += sum over j of coupling[j][m] K[j][m]. */
function addBehind({ blocks, reach }: ContactKernel, coupling: Float64Array, behind: Float64Array) {
  const size = behind.length;
  let next = 0;
  for (let p = 0; p < reach.length; p++) {
    for (let b = 0; b < reach[p]!; b++) {
      const block = blocks[next++]!;
      for (let at = 0; at < block.length; at++) {
        const m = (p + b) * NODES + (at % NODES);
        const j = p * NODES + Math.floor(at / NODES);
        behind[m]! += coupling[j * size + m]! * block[at]!;
      }
    }
  }
}

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
      const densities = Array.from(masses, (mass, k) => mass / RULE.weights[k]!);
      const density = polynomialThrough(Array.from(RULE.nodes), densities);
      const integral = [0, ...density.map((c, n) => c / (n + 1))];
      const x = (2 * (u - low)) / (high - low) - 1;
      within += polynomial(integral, x) - polynomial(integral, -1);
    }
  }
  return Math.min(1, Math.max(0, 1 - within));
}
