import type { CircuitModel } from "./circuit-model.ts";
import type { ContactPosterior } from "./circuit-posterior.ts";
import { type Mesh, NODES, RULE } from "./mesh.ts";
import { polynomial, polynomialThrough } from "./polynomial.ts";

/** Where one contact's posterior lies on the axis of series resistance. */
export interface ContactSummary {
  /** Probability by node of the resistance before the contact; one entry, t = 0, at link 0. */
  readonly before: Float64Array;
  /** Probability by node of the resistance behind it; what is missing to 1 is open. */
  readonly behind: Float64Array;
  /** Expected volts that the contact takes from the reading behind it [V]. */
  readonly voltsLost: number;
}

/**
 * Sums a contact's couplings over the kernels. `share(m)` is the part of the EMF that the meter
 * would show with the resistance of node `m` in its loop; of node -1, with none.
 */
export function contactSummary(
  model: CircuitModel,
  link: number,
  posterior: ContactPosterior,
  emf: number,
  share: (node: number) => number,
): ContactSummary {
  const size = model.mesh.t.length;
  const behind = new Float64Array(size);
  const rows = link === 0 ? 1 : size;
  const before = new Float64Array(rows);
  const shares = Float64Array.from({ length: size }, (_, m) => share(m));
  let lost = 0;
  for (const [coupling, kernel] of [
    [posterior.sound, model.sound],
    [posterior.fouled, model.fouled],
  ] as const) {
    const weights = link === 0 ? kernel.origin : kernel.rows;
    for (let j = 0; j < rows; j++) {
      const top = link === 0 ? share(-1) : shares[j]!;
      const end = link === 0 ? size : kernel.last[j]!;
      const base = j * size;
      let sum = 0;
      for (let m = link === 0 ? 0 : kernel.first[j]!; m < end; m++) {
        const mass = coupling[base + m]! * weights[base + m]!;
        behind[m]! += mass;
        sum += mass;
        lost += mass * (top - shares[m]!);
      }
      before[j]! += sum;
    }
  }
  return { before, behind, voltsLost: lost * emf + posterior.openVolts };
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
