import { fitProposal, type Proposal, sharedPoints } from "./even-points.ts";
import type { FacilityText, RowText } from "./facility-text.ts";
import type { Shared } from "./leaf-sums.ts";
import { readWalk, type Walk } from "./read-circuits.ts";
import { type SecondAnswer, Tally } from "./tally-answer.ts";
import { contextOf, type ReadyWalk, readyWalk, sumCircuits, sumOverAll } from "./walk-sums.ts";

/**
 * The whole signal-path model by brute force, for small facilities, written from its description
 * alone to judge the exact sums of `src/`, with which it shares no line.
 *
 * Discrete things are enumerated: bodies, contact states, what conducts, displays, and which unknown
 * source or load takes its single value. The shared numbers (E, D, tau, Rs, RL) lie on an even net
 * around where the readings put them; resistances are drawn at each of its points, guided by the
 * readings, weighted so that every sum stays the model's own. A second run with other points tells
 * the error. States and choices with under a millionth of the evidence are left out.
 *
 * Where the description leaves a choice, this is how it is read:
 *  1. The order of a walk is that of time where every reading has one, else that of rows. It counts
 *     all readings, pressed ones too; one drift and one noise scale for all meters and supplies.
 *  2. Given its body, a contact is open in the connector with a tenth of its chance of being
 *     fouled, open in the cable with the cable's own; intermittent whatever the body; sound with
 *     the rest. The intermittent chance goes to *sound* behind the first intermittent contact, and
 *     everywhere in a circuit that conducts.
 *  3. What conducts: stuck or leaking at the last point of the path, a wet leak at a wet link's
 *     point; "nothing" has what these leave.
 *  4. The chance of a display having gone off belongs to the reading, not to the explanation. With
 *     times it counts from the meter's latest reading that showed more than 0 or is marked as just
 *     switched on; the age there is known by a mark with no unmarked zero since, else uniform given
 *     that it showed; and it is the chance of going off since the meter's previous reading, given
 *     that it was on there. With no such reading, or without times, it is `blank`. A marked reading
 *     is on.
 *  5. The first reading after an off stretch has 1 - q whatever it shows. A display that is off
 *     shows 0 for certain: neither misread nor noise.
 *  6. A bad moment acts on a reading at or behind the intermittent contact, each by itself, and
 *     adds its resistance in that contact's place.
 *  7. A pressed switch lies across the end of its path, beside whatever else conducts there; an
 *     open contact cuts it off, and the points in front of it then read as at rest.
 *  8. An open path is under its limit; an intermittent contact counts with its sound resistance.
 *  9. A link's own `intermittent` comes before a pod's 0.02, and that before the model's.
 * 10. A quantile is the smallest value with so much chance at or below it.
 */

/** How finely to integrate. */
export interface Fineness {
  /** Points for the shared numbers, a power of two, for each way of choosing between atoms. */
  readonly points: number;
  /** Draws of each circuit's resistances at each of them. */
  readonly draws: number;
  /** Other points of the same evenness. */
  readonly shift: number;
}

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
interface Choice {
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
const choicesOf = (walk: Walk): Choice[] => {
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

const sharedAt = ({ start, axes }: Choice, z: readonly number[]): Shared => {
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

/** A first look at one choice: where its shared numbers lie, its evidence, and what matters. */
interface Look {
  readonly proposal: Proposal | null;
  readonly evidence: number;
  /** Share of the evidence that goes through each leaf; [circuit][leaf]. */
  readonly shares: readonly (readonly number[])[];
}

const everyLeaf = (ready: ReadyWalk): number[][] =>
  ready.circuits.map(({ leaves, priors }) =>
    leaves.flatMap((_, leaf) => (priors.some((ofMask) => ofMask[leaf]! > 0) ? [leaf] : [])),
  );

/** Points that a look must rest on before its weights are taken at their word. */
const enough = 50;

/** Weights to a power up to 1, so that they are not a handful of points' own. */
const tempered = (weights: readonly number[]): number[] => {
  const most = Math.max(...weights);
  for (let power = 1; power > 0.02; power *= 0.8) {
    const flat = weights.map((w) => (w / most) ** power);
    const sum = flat.reduce((a, b) => a + b, 0);
    if (sum ** 2 / flat.reduce((a, b) => a + b * b, 0) >= enough) return flat;
  }
  return weights.map(() => 1);
};

const lookAt = (
  ready: ReadyWalk,
  choice: Choice,
  proposal: Proposal | null,
  used: readonly (readonly number[])[],
  { points: count, draws, shift }: Fineness,
): Look => {
  const points = sharedPoints(choice.axes.length, proposal, count, shift);
  const shares = ready.circuits.map(({ leaves }) => leaves.map(() => 0));
  const weights = points.map(({ z, weight }, n) => {
    const at = sumCircuits(ready, sharedAt(choice, z), used, draws, n + 7919 * (shift + 1));
    ready.circuits.forEach(({ priors }, c) => {
      const context = contextOf(ready, at, c);
      context.forEach((masks, v) => {
        masks.forEach((other, mask) => {
          at[c]!.leafMeans[v]!.forEach((mean, leaf) => {
            shares[c]![leaf]! += weight * other * priors[mask]![leaf]! * mean;
          });
        });
      });
    });
    return weight * sumOverAll(ready, (c, v, mask) => at[c]!.totals[v]![mask]!);
  });
  const total = weights.reduce((a, b) => a + b, 0);
  return {
    proposal: choice.axes.length > 0 ? fitProposal(points, tempered(weights), 1.3) : null,
    evidence: (choice.prior * total) / points.length,
    shares: shares.map((leaves) => leaves.map((share) => share / total)),
  };
};

/** Leaves and choices under this share of the evidence are left out. */
const negligible = 1e-6;

/** How many times fewer points a choice of this share of the evidence gets. */
const thinner = (share: number): number => (share > 0.03 ? 1 : share > 1e-3 ? 4 : 16);

const leavesOver = ({ shares }: Look, least: number): number[][] =>
  shares.map((ofLeaves) => ofLeaves.flatMap((share, leaf) => (share > least ? [leaf] : [])));

/** Looks, each where the one before found something; from the fourth on at likely leaves only. */
const lookAround = (ready: ReadyWalk, choice: Choice, shift: number): Look => {
  const all = everyLeaf(ready);
  const { axes } = choice;
  let look: Look = {
    proposal: {
      mean: axes.map(() => 0),
      root: axes.map(({ wide }, i) => axes.slice(0, i + 1).map((_, j) => (i === j ? wide : 0))),
    },
    evidence: 0,
    shares: [],
  };
  for (let i = 1; i <= 5; i++) {
    const used = i <= 3 ? all : leavesOver(look, negligible / 30);
    const fineness = { points: i <= 3 ? 256 : 512, draws: i <= 3 ? 2 : 4, shift: shift + i };
    look = lookAt(ready, choice, look.proposal, used, fineness);
  }
  return look;
};

/** The whole answer for one walk. */
export const secondReference = (
  facility: FacilityText,
  rows: readonly RowText[],
  fineness: Fineness,
): SecondAnswer => {
  const walk = readWalk(facility, rows);
  const ready = readyWalk(walk);
  const choices = choicesOf(walk);
  const looks = choices.map((choice) => lookAround(ready, choice, fineness.shift));
  const evidence = looks.reduce((sum, look) => sum + look.evidence, 0);
  const tally = new Tally(ready);
  choices.forEach((choice, i) => {
    const look = looks[i]!;
    if (look.evidence < negligible * evidence) return;
    const used = leavesOver(look, negligible);
    const count = fineness.points / thinner(look.evidence / evidence);
    const points = sharedPoints(choice.axes.length, look.proposal, count, fineness.shift);
    points.forEach(({ z, weight }, n) => {
      const shared = sharedAt(choice, z);
      const seed = n + 104_729 * (fineness.shift + 1);
      const at = sumCircuits(ready, shared, used, fineness.draws, seed);
      tally.add(shared, (choice.prior * weight) / points.length, at, used);
    });
  });
  return tally.answer();
};
