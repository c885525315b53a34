import { loopVolts, voltsBehind } from "../../circuit/conducting.ts";
import { readingVolts } from "../../circuit/divider.ts";
import { ohms, volts } from "../../domain/units.ts";
import type { NuisanceRange } from "../chain/features.ts";
import { emfAt, type Nuisance, wireOhmsTo } from "../chain/point-likelihoods.ts";
import type { CircuitProblem, ReadingProblem } from "../problem.ts";

/** A loop resistance as a function of the walk's shared numbers. */
export type MovingLoop = (nuisance: Nuisance) => {
  readonly ohms: number;
  /** What an ohm there is worth of an ohm where the shared numbers were first [Ω/Ω]. */
  readonly perOhm: number;
};

/** A loop that does not move. */
export const still =
  (loop: number): MovingLoop =>
  () => ({ ohms: loop, perOhm: 1 });

/** The shared numbers at one place only. */
export const rangeAt = ({ emf, noiseScale, sourceOhms, loadOhms }: Nuisance): NuisanceRange => ({
  emf: emf.map((x) => [x, x] as const),
  noiseScale,
  sourceOhms: sourceOhms.map((x) => [x, x] as const),
  loadOhms: loadOhms.map((x) => [x, x] as const),
});

/** A hill of the loop's density, and what is known of a loop without its readings. */
export interface Hill {
  /** Its middle and its standard deviation [Ω]. */
  readonly loop: number;
  readonly sd: number;
  /** Of the law of ln of what conducts. */
  readonly logSd: number;
}

/**
 * Loops that follow the shared numbers: where the EMF is higher, the readings of a path that conducts
 * put the loop lower. An integral over the loop keeps its nodes where the likelihood is if they move so
 * that what one reading of a path without contacts,
 *
 *     V(D) = E R_L' / (R_L' + before),   R_L' = R_L beside D - before
 *
 * stays what it was. Nothing conducting shows E R_L / (R_L + before) at most: of what a loop takes from
 * that, l, a change of the EMF is taken up in full where l is far over the noise s, and where it is not,
 * the loop is kept one that exists:
 *
 *     l = s ln(1 + exp z),   z moves by what the most that can show moves by, over s
 *
 * times the part that this reading has in saying where the loop is, beside the law of what conducts;
 * a hill that is far wider than the reading's noise, or whose path has a fault, stays where it is.
 *
 * @param readings By link: those that see the loop.
 * @param link Where it conducts.
 * @param from The shared numbers at which the nodes are laid.
 */
export function movingLoops(
  circuit: CircuitProblem,
  readings: readonly (readonly ReadingProblem[])[],
  link: number,
  from: Nuisance,
  hill: Hill,
): (loop: number) => MovingLoop {
  const at = readings.findIndex((own) => own.some(({ shown }) => shown > 0));
  const reading = readings[at]?.find(({ shown }) => shown > 0);
  if (reading === undefined) return still;
  const scale = reading.noise * from.noiseScale;
  const there = pathOf(circuit, reading, at, link, from);
  const slope = there.slope(hill.loop);
  const told = slope * (hill.loop - there.before) * hill.logSd;
  const noise = scale / Math.sqrt(readings.flat().filter(({ shown }) => shown > 0).length);
  const wide = (slope * hill.sd) / (WIDE * noise);
  const missed = (there.most - there.lost(hill.loop) - reading.shown) / (MISSED * scale);
  const part = told ** 2 / (told ** 2 + noise ** 2) / (1 + wide ** 4 + missed ** 4);
  return (loop) => {
    const z = logExpMinusOne(there.lost(loop) / scale);
    const perOhmThere = there.slope(loop) / logistic(z);
    return (nuisance) => {
      const here = pathOf(circuit, reading, at, link, nuisance);
      const moved = Math.max(Math.min(z, LEAST), z + (here.most - there.most) / scale);
      const stayed = logExpMinusOne(here.lost(loop) / scale);
      const between = part * moved + (1 - part) * stayed;
      const ohmsHere = here.loop(scale * logOnePlusExp(between));
      // dl/dz is s / (1 + exp -z): z by the ohm, there, while it stays, and here.
      const byOhm = part * perOhmThere + ((1 - part) * here.slope(loop)) / logistic(stayed);
      return { ohms: ohmsHere, perOhm: (byOhm * logistic(between)) / here.slope(ohmsHere) };
    };
  };
}

const logistic = (z: number): number => 1 / (1 + Math.exp(-z));

/** So many times the noise of all readings: such a hill is as wide for another reason. */
const WIDE = 3;

/** A hill that shows so many times the noise beside the reading has a fault on its path. */
const MISSED = 5;

/** What shows less of a loop than this z shows nothing of it: it moves no further. */
const LEAST = -8;

/** What a loop takes from a reading of a path without contacts [V]; the way back; the slope [V/Ω]. */
interface Path {
  readonly before: number;
  /** Shown while nothing conducts [V]. */
  readonly most: number;
  lost(loop: number): number;
  loop(lost: number): number;
  slope(loop: number): number;
}

function pathOf(
  circuit: CircuitProblem,
  reading: ReadingProblem,
  at: number,
  link: number,
  nuisance: Nuisance,
): Path {
  const wire = wireOhmsTo(circuit);
  const source = nuisance.sourceOhms[circuit.supply]!;
  const emf = emfAt(nuisance, circuit.supply, reading);
  const load = nuisance.loadOhms[reading.meter]!;
  const before = Math.max(NO_LESS, source + wire[Math.min(at, link)]!);
  const more = at > link ? wire[at]! - wire[link]! : 0;
  const most = readingVolts(volts(emf), ohms(load), ohms(0), ohms(before + more));
  if (at <= link) {
    return {
      before,
      most,
      lost: (loop) => most - loopVolts(volts(emf), ohms(load), ohms(before), ohms(loop)),
      loop: (lost) => before + (before * (most - lost) * most) / (emf * lost),
      slope: (loop) => {
        const rest = loop - before;
        const beside = (load * rest) / (load + rest);
        return (emf * before * (beside / rest) ** 2) / (beside + before) ** 2;
      },
    };
  }
  return {
    before,
    most,
    lost: (loop) =>
      most - voltsBehind(volts(emf), ohms(load), ohms(before), ohms(loop), ohms(more)),
    loop: (lost) =>
      (before * (emf * load - (most - lost) * before)) / ((load + more + before) * lost),
    slope: (loop) => {
      const share = 1 - before / loop;
      const whole = load + before * share + more;
      return (emf * load * (load + more) * before) / (whole * loop) ** 2;
    },
  };
}

/** A path of no resistance at all shows no loop: it is taken as having this much [Ω]. */
const NO_LESS = 1e-6;

const logOnePlusExp = (z: number): number => Math.max(z, 0) + Math.log1p(Math.exp(-Math.abs(z)));

/** The inverse of `logOnePlusExp`, for x over 0. */
const logExpMinusOne = (x: number): number =>
  x > 30 ? x : Math.log(Math.expm1(Math.max(x, 1e-9)));
