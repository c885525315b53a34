import { expect, test } from "vitest";
import { assumedAgeing } from "../../../src/domain/assumed-ageing.ts";
import { analyzeGrowth } from "../../../src/history/growth/analyze-growth.ts";
import { growthRows } from "../../../src/history/growth/growth-rows.ts";
import { learnNoise } from "../../../src/history/growth/learn-noise.ts";
import { firstState, fitSeason } from "../../../src/history/growth/season-fit.ts";
import { type Making, madeInput, madeSeason } from "./made-season.ts";

/** Truth is what a generator of its own drew: every expectation is of that, within its errors. */

const jumps = { cure: 0.6, touched: 0.4, rise: 0.5 };
const scatter = assumedAgeing.scatter.value;
const sound: Making = {
  ...{ walks: 20, lanes: 6, emf: 4.96, noise: 0.012, scatter: 0.07, seed: 3 },
  ohms: () => 0.2,
};
const growing: Making = {
  ...sound,
  ohms: (lane, position, week) => (position === 1 && lane < 4 ? 1 + 1.6 * week : 0.2),
};
const mean = (of: Float64Array): number => of.reduce((sum, one) => sum + one, 0) / of.length;

test("the level of the supply is what sound contacts leave, however far it is from nominal", () => {
  for (const emf of [4.95, 5, 5.04]) {
    const season = madeSeason({ ...sound, emf });
    const { supply } = fitSeason(season, firstState(season), jumps, scatter, 3);
    // 240 values of 12 mV and their rounding: a millivolt; contacts of 0.2 ohm, another.
    for (const path of supply) expect(Math.abs(mean(path.emf) - emf)).toBeLessThan(0.004);
    // Rounds do not carry it away: first contacts that all rise by an ohm show the same as 5 mV.
    const later = fitSeason(season, firstState(season), jumps, scatter, 12);
    for (const path of later.supply) expect(Math.abs(mean(path.emf) - emf)).toBeLessThan(0.004);
  }
});

test("contacts that grow alike are not taken for a supply that falls", () => {
  const season = madeSeason({ ...growing, ohms: (_, p, week) => (p === 0 ? 1 + week : 0.2) });
  const { supply, moments } = fitSeason(season, firstState(season), jumps, scatter, 3);
  const [path, contacts] = [supply[0]!, moments[0]!];
  // Nineteen ohms more are 93 mV less.
  expect(Math.abs(path.emf.at(-1)! - path.emf[0]!)).toBeLessThan(0.03);
  expect(contacts[0]!.mean.at(-1)! - contacts[0]!.mean[0]!).toBeGreaterThan(13);
});

test("the meter's noise is learnt, a third or twice what the pool file says", () => {
  for (const [noise, seed] of [
    [0.004, 1],
    [0.01, 2],
    [0.02, 3],
  ] as const) {
    const season = madeSeason({ ...growing, noise, seed });
    const fit = fitSeason(season, firstState(season), jumps, scatter, 2);
    // In units of the pool file's 10 mV; steps of 10 mV hide what is far under them.
    const found = 0.01 * learnNoise(season, fit).noise;
    expect(found).toBeGreaterThan(0.7 * noise - 0.001);
    expect(found).toBeLessThan(1.3 * noise + 0.002);
  }
});

test("the scatter of contacts is learnt where they are large", () => {
  const large: Making = {
    ...{ ...sound, walks: 40, noise: 0.006 },
    ohms: (lane, position) => (position === 1 ? 20 + 5 * lane : 0.2),
  };
  const found = [0.04, 0.2].map((scattered) => {
    const season = madeSeason({ ...large, scatter: scattered });
    return learnNoise(season, fitSeason(season, firstState(season), jumps, scatter, 2)).scatter;
  });
  // The assumed 0.12 is worth ten values yet.
  expect(found[0]).toBeGreaterThan(0.03);
  expect(found[0]).toBeLessThan(0.08);
  expect(found[1]).toBeGreaterThan(0.15);
  expect(found[1]).toBeLessThan(0.25);
});

test("steady growth, by ohms or by a share of itself, shows hardly a step; a storm is one, surely", () => {
  const steady = [
    growing,
    {
      ...growing,
      ohms: (lane: number, position: number, week: number) =>
        position === 1 && lane < 4 ? 0.8 * Math.exp(0.19 * week) : 0.2,
    },
  ];
  const chances = steady.flatMap((making) =>
    [1, 2, 3].flatMap((seed) =>
      analyzeGrowth(madeInput({ ...making, seed })).steps.map(({ chance }) => chance),
    ),
  );
  // Six seasons: what they say of their steps adds up to less than one, and none is sure.
  expect(chances.reduce((sum, chance) => sum + chance, 0)).toBeLessThan(1);
  for (const chance of chances) expect(chance).toBeLessThan(0.9);
  const storm = (lane: number, position: number, week: number): number =>
    (position === 1 ? 8 + lane : 0.2) * (week >= 11 && lane !== 2 ? 1.9 : 1);
  const { steps } = analyzeGrowth(madeInput({ ...growing, ohms: storm }));
  expect(steps.map(({ walk }) => walk)).toEqual([11]);
  expect(steps[0]!.chance).toBeGreaterThan(0.99);
});

test("a contact of which its class rules out all that was left is taken up all over again", () => {
  const season = madeSeason(growing);
  const state = firstState(season);
  const onlyFlat = Uint8Array.from(growthRows, ({ kind }) => (kind === "flat" ? 1 : 0));
  // Earlier rounds left one way of growing, and the class then has none of it.
  const before = state.before.map((law) => law.map((share, r) => (onlyFlat[r] === 1 ? 0 : share)));
  const question = state.question.map((path) => path.map(() => [onlyFlat]));
  const fit = fitSeason(season, { ...state, before, question }, jumps, scatter, 1);
  for (const { filter } of fit.lives.flat(2))
    expect(filter.lnRows.every((ln) => Number.isFinite(ln))).toBe(true);
});
