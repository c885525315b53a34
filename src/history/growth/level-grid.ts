/**
 * The grid of ln ohms that every contact's level lives on: even nodes, so that growth in ln ohms is
 * a shift along it. What lies beyond an end is counted at that end.
 */

/** Under this no handheld meter on a path of ohms sees a contact [ln ohm]. */
export const LOWEST = Math.log(0.02);
/** Between nodes [ln ohm]. */
export const STEP = 0.1;
/** Nodes: up to some 7 kilohms, far above any limit of a path that still carries a touch. */
export const NODES = 120;

/** ln ohms of each node. */
export const levels: Float64Array = Float64Array.from(
  { length: NODES },
  (_, i) => LOWEST + i * STEP,
);

/** Ohms of each node. */
export const ohmsAt: Float64Array = levels.map(Math.exp);

/** Fractional node of a level, kept on the grid. */
export const nodeOf = (level: number): number =>
  Math.min(NODES - 1.000001, Math.max(0, (level - LOWEST) / STEP));

/** A fine even table of ln: nodes of the grid for ohms up to `REACH`, and a coarse one beyond. */
const FINE = 4096;
const REACH = 128;
const fineNodes = Float64Array.from({ length: FINE + 1 }, (_, i) =>
  nodeOf(Math.log(Math.max(1e-9, ((i + 0.5) * REACH) / FINE))),
);

/** Fractional node of so many ohms, above 0: from a table under `REACH`, within 0.01 of a node above 2 ohms. */
export const nodeOfOhms = (ohms: number): number =>
  ohms < REACH ? fineNodes[Math.floor((ohms * FINE) / REACH)]! : nodeOf(Math.log(ohms));

/** Value of a table over the grid at a fractional node. */
export function valueAt(table: Float64Array, from: number, node: number): number {
  const i = Math.floor(node);
  const into = node - i;
  return (1 - into) * table[from + i]! + into * table[from + i + 1]!;
}

/** Masses of a normal distribution of ln ohms on the grid, adding to 1. */
export function normalMasses(mean: number, sd: number): Float64Array {
  const masses = levels.map((level) => Math.exp(-0.5 * ((level - mean) / sd) ** 2));
  const sum = masses.reduce((total, mass) => total + mass, 0);
  return masses.map((mass) => mass / sum);
}
