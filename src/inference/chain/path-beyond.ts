import { integralOf, polynomial, polynomialThrough } from "../../numerics/polynomial.ts";
import { type Mesh, NODES, RULE } from "./mesh.ts";

/**
 * P(the contacts of a path add up to more than `limit` [Ω]) from the probability by node, open
 * paths left out. Inside the limit's own panel the density is the polynomial through its nodes.
 */
export function pathBeyond(
  mesh: Mesh,
  steady: Float64Array,
  shaky: Float64Array | null,
  limit: number,
): number {
  const u = limit > 0 ? limit / (mesh.scale + limit) : -1;
  let beyond = 0;
  for (const [p, { low, high }] of mesh.panels.entries()) {
    if (u >= high) continue;
    const masses = Float64Array.from({ length: NODES }, (_, k) => {
      const at = p * NODES + k;
      return steady[at]! + (shaky === null ? 0 : shaky[at]!);
    });
    const all = masses.reduce((sum, mass) => sum + mass, 0);
    if (u <= low) beyond += all;
    else {
      const density = polynomialThrough(
        RULE.nodes,
        masses.map((mass, k) => mass / RULE.weights[k]!),
      );
      beyond += all - polynomial(integralOf(density), (2 * (u - low)) / (high - low) - 1);
    }
  }
  return Math.min(1, Math.max(0, beyond));
}
