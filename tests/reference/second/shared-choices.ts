import type { Shared } from "./leaf-sums.ts";
import type { Walk } from "./read-circuits.ts";

const sourceLaw = { atom: 0, median: 220, logSd: 1 };
const loadLaw = { atom: 10e6, median: 2000, logSd: 1.5 };

/** One shared number: how it follows from a standard normal, and where it goes. */
interface Axis {
  /** How many prior standard deviations a first look has to be wide. */
  readonly wide: number;
  readonly put: (shared: MutableShared, z: number) => void;
}

interface MutableShared {
  emf: number[];
  source: number[];
  drift: number;
  tau: number;
  load: number[];
}

/** One choice of atoms for every unknown source and load, its prior, and the axes left. */
export interface Choice {
  readonly prior: number;
  readonly start: MutableShared;
  readonly axes: readonly Axis[];
}

const unknownAxes = (walk: Walk): { atom: (s: MutableShared) => void; axis: Axis }[] => [
  ...walk.facility.supplies.flatMap(({ source_ohms }, i) =>
    source_ohms === "unknown"
      ? [
          {
            atom: (s: MutableShared) => {
              s.source[i] = sourceLaw.atom;
            },
            axis: {
              wide: 2.5,
              put: (s: MutableShared, z: number) => {
                s.source[i] = sourceLaw.median * Math.exp(sourceLaw.logSd * z);
              },
            },
          },
        ]
      : [],
  ),
  ...walk.facility.meters.flatMap(({ load_ohms }, i) =>
    load_ohms === "unknown"
      ? [
          {
            atom: (s: MutableShared) => {
              s.load[i] = loadLaw.atom;
            },
            axis: {
              wide: 2.5,
              put: (s: MutableShared, z: number) => {
                s.load[i] = loadLaw.median * Math.exp(loadLaw.logSd * z);
              },
            },
          },
        ]
      : [],
  ),
];

/** Every choice between atoms and log-normals of what nobody measured. */
export const choicesOf = (walk: Walk): Choice[] => {
  const { supplies, meters } = walk.facility;
  const { drift_sd, noise_log_sd } = walk.model;
  const always: Axis[] = supplies.flatMap(({ emf, emf_sd }, i) =>
    emf_sd > 0
      ? [
          {
            wide: 1,
            put: (s: MutableShared, z: number) => {
              s.emf[i] = emf + emf_sd * z;
            },
          },
        ]
      : [],
  );
  if (drift_sd > 0 && walk.rows.length > 1) {
    always.push({
      wide: 1,
      put: (s, z) => {
        s.drift = drift_sd * z;
      },
    });
  }
  if (noise_log_sd > 0) {
    always.push({
      wide: 1,
      put: (s, z) => {
        s.tau = Math.exp(noise_log_sd * z);
      },
    });
  }
  const unknown = unknownAxes(walk);
  return Array.from({ length: 2 ** unknown.length }, (_, bits) => {
    const start: MutableShared = {
      emf: supplies.map(({ emf }) => emf),
      source: supplies.map(({ source_ohms: r }) => (r === "unknown" ? 0 : r)),
      drift: 0,
      tau: 1,
      load: meters.map(({ load_ohms: r }) => (r === "unknown" ? 0 : r)),
    };
    const axes = [...always];
    unknown.forEach(({ atom, axis }, i) => {
      if ((bits >> i) & 1) axes.push(axis);
      else atom(start);
    });
    return { prior: 0.5 ** unknown.length, start, axes };
  });
};

export const sharedAt = ({ start, axes }: Choice, z: readonly number[]): Shared => {
  const shared = {
    ...start,
    emf: [...start.emf],
    source: [...start.source],
    load: [...start.load],
  };
  axes.forEach(({ put }, i) => {
    put(shared, z[i]!);
  });
  return shared;
};
