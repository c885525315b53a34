import type {
  CircuitProblem,
  LogNormalPart,
  ReadingProblem,
  StateChances,
} from "../../src/inference/problem.ts";
import { normalBelow, normalDensity } from "../reference/normal.ts";

/**
 * One circuit by enumeration, from the equations of `src/MODEL.md` and with nothing of `src/` but the
 * problem's types: every state of every contact, and every resistance at the even places of the
 * trapezoidal rule in z = (ln r - mean) / sd, which for a normal is exact to more digits than are asked.
 */

/** The walk's shared numbers at one place. */
export interface SharedPlace {
  readonly emf: number;
  readonly drift: number;
  readonly noiseScale: number;
  readonly source: number;
  readonly loads: readonly number[];
}

export type State = keyof StateChances;
export const STATES: readonly State[] = ["sound", "fouled", "open", "cable", "intermittent"];

/** One way in which a path may be. */
export interface Leaf {
  /** Prior chance times the weights of the rule. */
  readonly weight: number;
  readonly states: readonly State[];
  /** By link: its contact's resistance, infinite where it is open [ohm]. */
  readonly own: readonly number[];
  /** By link: contacts and copper up to its point, infinite behind an open contact [ohm]. */
  readonly upTo: readonly number[];
  /** By link: an intermittent contact stands in front of its point. */
  readonly shaky: readonly boolean[];
}

/** How many places of z a law is taken at. */
export interface Fineness {
  readonly sound: number;
  readonly fouled: number;
  /** Of a closed switch; absent: 31. */
  readonly closed?: number;
}

const REACH = 6;

/** Places of a mixture of log-normals with their weights. */
export function placesOf(
  law: readonly LogNormalPart[],
  count: number,
): readonly { readonly ohms: number; readonly weight: number }[] {
  const step = (2 * REACH) / (count - 1);
  return law.flatMap(({ share, medianOhms, logSd }) =>
    Array.from({ length: count }, (_, i) => {
      const z = i * step - REACH;
      return {
        ohms: medianOhms * Math.exp(logSd * z),
        weight: share * step * normalDensity(z),
      };
    }),
  );
}

/**
 * Every leaf of a circuit whose contacts have these chances, by link. Behind an open contact states go
 * on, resistances don't; the first intermittent contact rules out another.
 */
export function leavesOf(
  { links }: CircuitProblem,
  chances: (link: number) => StateChances,
  { sound, fouled }: Fineness,
): readonly Leaf[] {
  let leaves: Leaf[] = [{ weight: 1, states: [], own: [], upTo: [], shaky: [] }];
  for (const [k, link] of links.entries()) {
    const chance = chances(k);
    const lawOf = { sound: placesOf(link.sound, sound), fouled: placesOf(link.fouled, fouled) };
    leaves = leaves.flatMap((leaf) =>
      STATES.flatMap((state) => {
        const second = leaf.states.includes("intermittent");
        const alike = second && state === "sound" ? chance.intermittent : 0;
        const p = second && state === "intermittent" ? 0 : chance[state] + alike;
        if (p === 0) return [];
        const [before, comes] = [leaf.upTo.at(-1) ?? 0, second || state === "intermittent"];
        const isOpen = state === "open" || state === "cable";
        const none = [{ ohms: isOpen ? Number.POSITIVE_INFINITY : 0, weight: 1 }];
        const law = state === "fouled" ? lawOf.fouled : lawOf.sound;
        const places = isOpen || before === Number.POSITIVE_INFINITY ? none : law;
        return places.map(({ ohms, weight }) => ({
          weight: leaf.weight * p * weight,
          states: [...leaf.states, state],
          own: [...leaf.own, ohms],
          upTo: [...leaf.upTo, before + link.wireOhms + ohms],
          shaky: [...leaf.shaky, comes],
        }));
      }),
    );
  }
  return leaves;
}

/** Equation (4). */
export function shownChance(reading: ReadingProblem, volts: number, noiseScale: number): number {
  const { shown, halfStep, noise, slope, tails, floor } = reading;
  const within = (s: number): number =>
    normalBelow((shown + halfStep - volts) / s) -
    (shown === 0 ? 0 : normalBelow((shown - halfStep - volts) / s));
  const s = noise * noiseScale;
  return slope * ((1 - tails) * within(s) + tails * within(3 * s)) + floor;
}

/** P(the display shows less than it did | V). */
export function lessChance(
  reading: ReadingProblem,
  volts: number,
  noiseScale: number,
  nominal: number,
): number {
  const { shown, halfStep, noise, slope, tails } = reading;
  if (shown === 0) return 0;
  const edge = shown - halfStep;
  const below = (s: number): number => normalBelow((edge - volts) / s);
  const s = noise * noiseScale;
  const misread = (1 - slope) * Math.min(1, edge / (1.1 * nominal));
  return slope * ((1 - tails) * below(s) + tails * below(3 * s)) + misread;
}

/** The EMF that a reading sees, equation (5). */
export const emfOf = ({ emf, drift }: SharedPlace, reading: ReadingProblem): number =>
  emf + drift * reading.order + (reading.emfOffset ?? 0);

/** Equation (1); behind an open contact nothing is shown. */
export function seriesShown(place: SharedPlace, reading: ReadingProblem, series: number): number {
  if (series === Number.POSITIVE_INFINITY) return 0;
  const load = place.loads[reading.meter]!;
  return (emfOf(place, reading) * load) / (load + place.source + series);
}

/**
 * Equation (7): a loop of so many ohms through what conducts, read behind `series`; where it is read behind
 * what conducts, `joint` is what lies in front of that.
 */
export function loopShown(
  place: SharedPlace,
  reading: ReadingProblem,
  loop: number,
  series: number,
  joint: number | null,
): number {
  const emf = emfOf(place, reading);
  const load = place.loads[reading.meter]!;
  const before = place.source + (joint ?? series);
  const rest = loop - before;
  if (joint === null) {
    const beside = (load * rest) / (load + rest);
    return (emf * beside) / (beside + before);
  }
  const behind = (rest * before) / loop;
  return ((emf * rest) / loop) * (load / (load + behind + series - joint));
}
