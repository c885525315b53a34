import type { CircuitModel } from "./circuit-model.ts";
import type { ContactPosterior } from "./circuit-posterior.ts";
import { type Mesh, NODES, RULE } from "./mesh.ts";
import { polynomial, polynomialThrough } from "./polynomial.ts";

/** Probability by node of t behind the last link; the rest to 1 is open. */
export function behindLast(model: CircuitModel, posterior: ContactPosterior): Float64Array {
  const size = model.mesh.t.length;
  const atOrigin = posterior.before.length === 1;
  const behind = new Float64Array(size);
  for (const [coupling, kernel] of [
    [posterior.sound, model.sound],
    [posterior.fouled, model.fouled],
  ] as const) {
    const rows = atOrigin ? kernel.origin : kernel.rows;
    for (let j = 0; j < posterior.before.length; j++) {
      const end = atOrigin ? size : kernel.last[j]!;
      const base = j * size;
      for (let m = atOrigin ? 0 : kernel.first[j]!; m < end; m++) {
        behind[m]! += coupling[base + m]! * rows[base + m]!;
      }
    }
  }
  return behind;
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
  for (let panel = 0; panel + 1 < mesh.borders.length; panel++) {
    const low = mesh.borders[panel]!;
    const high = mesh.borders[panel + 1]!;
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
