import type { Supply } from "../domain/circuit.ts";
import type { Meter } from "../domain/pool.ts";
import { exactOhms, type UncertainOhms } from "../inference/problem.ts";

/** A source resistance that nobody measured: none with an even chance, else of this order [Ω]. */
const unknownSource: UncertainOhms = {
  exact: [{ chance: 0.5, ohms: 0 }],
  medianOhms: 220,
  logSd: 1,
};

/** A load that nobody measured: a common multimeter's with an even chance, else of this order [Ω]. */
const unknownLoad: UncertainOhms = {
  exact: [{ chance: 0.5, ohms: 1e7 }],
  medianOhms: 2000,
  logSd: 1.5,
};

export const sourceOf = ({ sourceOhms }: Pick<Supply, "sourceOhms">): UncertainOhms =>
  sourceOhms === null ? unknownSource : exactOhms(sourceOhms);

export const loadOf = ({ loadOhms }: Pick<Meter, "loadOhms">): UncertainOhms =>
  loadOhms === null ? unknownLoad : exactOhms(loadOhms);
