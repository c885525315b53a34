/** One step of a path: the series ohms up to a node, and what bridges the pair there [ohm]. */
export interface Step {
  /** Copper and contact, both conductors; infinite where open [ohm]. */
  readonly series: number;
  /** Resistances across the pair behind this step [ohm]. */
  readonly across: readonly number[];
}

/** Keeps a part that nothing connects at 0 V [S]. */
const stray = 1e-15;

/**
 * Volts that a meter of `load` ohms shows at the node behind step `at`, the timer being `emf` volts
 * behind `source` ohms. Kirchhoff's current law at every node, a tridiagonal system in conductances,
 * solved by elimination:
 *
 *     g_k (V_k - V_{k-1}) + g_{k+1} (V_k - V_{k+1}) + h_k V_k = 0,   V_0 = emf
 */
export function nodeVolts(
  emf: number,
  source: number,
  steps: readonly Step[],
  load: number,
  at: number,
): number {
  const along = steps.map(({ series }, k) => 1 / (series + (k === 0 ? source : 0)));
  const down = steps.map(
    ({ across }, k) =>
      stray + across.reduce((sum, ohms) => sum + 1 / ohms, 0) + (k === at ? 1 / load : 0),
  );
  const diagonal: number[] = [];
  const right: number[] = [];
  for (let k = 0; k < steps.length; k++) {
    diagonal.push(along[k]! + (along[k + 1] ?? 0) + down[k]!);
    right.push(k === 0 ? along[0]! * emf : 0);
    if (k === 0) continue;
    const factor = along[k]! / diagonal[k - 1]!;
    diagonal[k]! -= factor * along[k]!;
    right[k]! += factor * right[k - 1]!;
  }
  let volts = 0;
  for (let k = steps.length - 1; k >= at; k--) {
    volts = (right[k]! + (along[k + 1] ?? 0) * volts) / diagonal[k]!;
  }
  return volts;
}
