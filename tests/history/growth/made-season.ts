import { buildSeason, type SeasonInput } from "../../../src/history/growth/build-season.ts";
import type { SeasonData } from "../../../src/history/growth/season-data.ts";
import { seededRandom } from "../../study/random.ts";

/** What a season of weekly walks is made of: lanes of a plate and a pod, a kilohm of meter. */
export interface Making {
  readonly walks: number;
  readonly lanes: number;
  /** Of the whole season [V]. */
  readonly emf: number;
  /** Of the meter [V]. */
  readonly noise: number;
  /** True ohms of the contact. */
  readonly ohms: (lane: number, position: number, week: number) => number;
  /** Of a contact from walk to walk [ln ohm]. */
  readonly scatter: number;
  readonly seed: number;
}

const LOAD = 1000;
/** The pool file's own. */
const SAID = { noise: 0.01, step: 0.01 };

export function madeInput(making: Making): SeasonInput {
  const { walks, lanes, emf, noise, ohms, scatter, seed } = making;
  const random = seededRandom(seed);
  const days = Float64Array.from({ length: walks }, (_, w) => 7 * w);
  const paths = Array.from({ length: lanes }, (_, lane) => ({
    ...{ wires: [0, 0], groups: [0, 1], sourceOhms: 0, supply: 0, works: [] },
    values: Array.from(days, (_, walk) => {
      let series = 0;
      return [0, 1].map((position) => {
        series += ohms(lane, position, walk) * Math.exp(scatter * random.normal());
        const volts = (emf * LOAD) / (LOAD + series) + noise * random.normal();
        const shown = Math.round(volts / SAID.step) * SAID.step;
        return { ...SAID, walk, position, shown, load: LOAD, stray: 1e-5 };
      });
    }).flat(),
  }));
  return {
    ...{ days, paths, groups: 2, supplies: [{ emf: 5, emfSd: 0.03 }], driftSd: 0 },
    ...{ floor: { mean: Math.log(0.2), sd: 0.8 }, misread: 0.003, tails: 0.05 },
    fouled: { chance: 0.1, mean: Math.log(30), sd: 1 },
    strokes: { perWeek: [1e-4, 1e-4], levels: [{ share: 1, mean: Math.log(30), sd: 1 }] },
    from: 7 * (walks - 1),
  };
}

export const madeSeason = (making: Making): SeasonData =>
  buildSeason(madeInput(making), { clock: { idle: [], factor: 1 }, steps: [], strokes: [] });
