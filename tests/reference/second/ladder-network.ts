/** A resistance across the pair at a point. */
export interface Shunt {
  readonly at: number;
  readonly ohms: number;
}

/**
 * Voltage that a meter of `load` ohms shows at point `at` of a path fed by `emf` behind `source`
 * ohms [V]. `series[k]` is what link k puts in series, both conductors [ohm]; an infinite one cuts
 * off what lies behind it. Solved as a ladder for any shunts: Thevenin's source from the timer's
 * side, one conductance from the far side.
 */
export const shownOnLadder = (
  emf: number,
  source: number,
  series: readonly number[],
  at: number,
  load: number,
  shunts: readonly Shunt[],
): number => {
  let open = emf;
  let behind = source;
  for (let k = 0; k <= at; k++) {
    behind += series[k]!;
    if (behind === Number.POSITIVE_INFINITY) return 0;
    if (k === at) break;
    for (const shunt of shunts) {
      if (shunt.at !== k) continue;
      const share = shunt.ohms / (behind + shunt.ohms);
      open *= share;
      behind *= share;
    }
  }
  let onward = 0;
  for (let k = series.length - 1; k >= at; k--) {
    for (const shunt of shunts) if (shunt.at === k) onward += 1 / shunt.ohms;
    if (k > at && onward > 0) onward = 1 / (series[k]! + 1 / onward);
  }
  return open / (1 + behind * (onward + 1 / load));
};
