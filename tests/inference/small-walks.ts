import {
  type CircuitProblem,
  exactOhms,
  type LinkProblem,
  type ReadingProblem,
  type StateChances,
  type WalkProblem,
} from "../../src/inference/problem.ts";

/** Walks of a circuit or two that enumeration can follow: invented figures, a noisy meter. */

export const sound = [{ share: 1, medianOhms: 4, logSd: 0.5 }];
export const fouled = [
  { share: 0.7, medianOhms: 60, logSd: 0.5 },
  { share: 0.3, medianOhms: 200, logSd: 0.5 },
];

/** Chances of a contact; the rest is sound. */
export const chances = (faults: Partial<StateChances>): StateChances => {
  const all = { fouled: 0, open: 0, cable: 0, intermittent: 0, ...faults };
  return { ...all, sound: 1 - all.fouled - all.open - all.cable - all.intermittent };
};

/** The same whatever its body's state is. */
export const both = (faults: Partial<StateChances>): LinkProblem["states"] => [
  chances(faults),
  chances(faults),
];

export const link = (
  wireOhms: number,
  clean: StateChances,
  body: number | null = null,
  contaminated: StateChances = clean,
): LinkProblem => ({ wireOhms, body, states: [clean, contaminated], sound, fouled });

export const reading = (
  index: number,
  shown: number,
  over: Partial<ReadingProblem> = {},
): ReadingProblem => ({
  ...{ index, shown, halfStep: 0.05, noise: 0.1, meter: 0, order: 0 },
  ...{ slope: 0.99, tails: 0.1, floor: 0.0002, badMoment: 0.3 },
  ...over,
});

export const circuit = (
  links: readonly LinkProblem[],
  readings: CircuitProblem["readings"],
  over: Partial<CircuitProblem> = {},
): CircuitProblem => ({
  ...{ supply: 0, links, readings, pressed: links.map(() => []) },
  ...{ conducting: [], limitOhms: 60 },
  ...over,
});

export const walkOf = (
  circuits: readonly CircuitProblem[],
  over: Partial<WalkProblem> = {},
): WalkProblem => ({
  supplies: [{ emf: 5, emfSd: 0, sourceOhms: exactOhms(20) }],
  loads: [exactOhms(1000)],
  ...{ driftSd: 0, noiseLogSd: 0, bodies: [], circuits, zeroRuns: [] },
  badMoments: { fouled: 0.7, law: fouled },
  ...over,
});
