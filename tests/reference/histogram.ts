import type { LogNormal } from "../../src/domain/pool.ts";
import { normalBelow } from "./normal.ts";

const lowest = Math.log(1e-5);
const highest = Math.log(1e8);
const cells = 30_000;
const cellWidth = (highest - lowest) / cells;

/** Mass of one contact's resistance over cells of 0.1 % in ohms, and the mass at infinity. */
export interface ResistanceMass {
  readonly finite: Float64Array;
  open: number;
}

export const emptyMass = (): ResistanceMass => ({ finite: new Float64Array(cells), open: 0 });

/** Adds points (ohms, weight) times `factor`. */
export const addPoints = (
  mass: ResistanceMass,
  ohms: Float64Array,
  weights: Float64Array,
  factor: number,
): void => {
  for (let i = 0; i < ohms.length; i++) {
    const cell = Math.floor((Math.log(ohms[i]!) - lowest) / cellWidth);
    mass.finite[Math.min(Math.max(cell, 0), cells - 1)]! += weights[i]! * factor;
  }
};

/** Adds a whole log-normal of total mass `factor`. */
export const addLogNormal = (mass: ResistanceMass, prior: LogNormal, factor: number): void => {
  const z = (cell: number) =>
    (lowest + cell * cellWidth - Math.log(prior.medianOhms)) / prior.logSd;
  let before = 0;
  for (let cell = 0; cell < cells; cell++) {
    const upTo = cell === cells - 1 ? 1 : normalBelow(z(cell + 1));
    mass.finite[cell]! += factor * (upTo - before);
    before = upTo;
  }
};

/** Resistance under which the share `p` of all mass lies [ohm]; null where that is open. */
export const quantileOf = (mass: ResistanceMass, p: number): number | null => {
  const total = mass.finite.reduce((sum, m) => sum + m, 0) + mass.open;
  let below = 0;
  for (let cell = 0; cell < cells; cell++) {
    const here = mass.finite[cell]!;
    if (below + here >= p * total && here > 0) {
      return Math.exp(lowest + (cell + (p * total - below) / here) * cellWidth);
    }
    below += here;
  }
  return null;
};
