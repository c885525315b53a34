import type { UncertainOhms, WalkProblem } from "../../src/inference/problem.ts";
import { normalDensity } from "../reference/normal.ts";
import { type Fineness, placesOf } from "./path-leaves.ts";
import { pathSums, weighedQuantile } from "./path-sums.ts";

/**
 * A walk of circuits without bodies over its shared numbers, each on an even grid of its own prior: the
 * trapezoidal rule again. Supplies are independent once drift and noise are given.
 */
export interface GridSums {
  readonly logEvidence: number;
  /** By supply, by circuit and link. */
  readonly emf: readonly Quantiles[];
  readonly sourceOhms: readonly Quantiles[];
  readonly drift: Quantiles;
  readonly noiseScale: Quantiles;
  readonly states: readonly (readonly (readonly number[])[])[];
}

interface Quantiles {
  readonly low: number;
  readonly median: number;
  readonly high: number;
}

interface Weighed {
  readonly value: number;
  readonly weight: number;
}

const REACH = 4.5;

/** Places of a normal with their weights; the mean alone where nothing is unknown. */
function normalPlaces(mean: number, sd: number, count: number): readonly Weighed[] {
  if (sd === 0) return [{ value: mean, weight: 1 }];
  const step = (2 * REACH) / (count - 1);
  return Array.from({ length: count }, (_, i) => {
    const z = i * step - REACH;
    return { value: mean + sd * z, weight: step * normalDensity(z) };
  });
}

function ohmPlaces({ exact, medianOhms, logSd }: UncertainOhms, count: number): readonly Weighed[] {
  const rest = 1 - exact.reduce((sum, { chance }) => sum + chance, 0);
  const known = exact.map(({ chance, ohms }) => ({ value: ohms, weight: chance }));
  if (rest < 1e-12) return known;
  const law = placesOf([{ share: rest, medianOhms, logSd }], count);
  return [...known, ...law.map(({ ohms, weight }) => ({ value: ohms, weight }))];
}

/** How many places each number is taken at. */
export interface GridFineness extends Fineness {
  readonly emf: number;
  readonly drift: number;
  readonly scale: number;
  readonly source: number;
}

export function gridSums(walk: WalkProblem, fineness: GridFineness): GridSums {
  const marginals = {
    emf: walk.supplies.map(() => new Map<number, number>()),
    source: walk.supplies.map(() => new Map<number, number>()),
    drift: new Map<number, number>(),
    scale: new Map<number, number>(),
  };
  const states = walk.circuits.map(({ links }) => links.map(() => [0, 0, 0, 0, 0]));
  let whole = 0;
  for (const drift of normalPlaces(0, walk.driftSd, fineness.drift)) {
    for (const scale of normalPlaces(0, walk.noiseLogSd, fineness.scale)) {
      const own = walk.supplies.map((_, s) =>
        supplySums(walk, s, drift.value, scale.value, fineness),
      );
      const weight = drift.weight * scale.weight;
      const all = own.reduce((product, { total }) => product * total, weight);
      whole += all;
      more(marginals.drift, drift.value, all);
      more(marginals.scale, Math.exp(scale.value), all);
      for (const [s, { total, places }] of own.entries()) {
        for (const { emf, source, likelihood, circuits } of places) {
          const times = all / total;
          more(marginals.emf[s]!, emf, times * likelihood);
          more(marginals.source[s]!, source, times * likelihood);
          for (const { c, states: found } of circuits)
            for (const [k, row] of found.entries())
              for (const [x, p] of row.entries()) states[c]![k]![x]! += times * p;
        }
      }
    }
  }
  return {
    logEvidence: Math.log(whole),
    emf: marginals.emf.map(quantilesOf),
    sourceOhms: marginals.source.map(quantilesOf),
    drift: quantilesOf(marginals.drift),
    noiseScale: quantilesOf(marginals.scale),
    states: states.map((links) => links.map((row) => row.map((p) => p / whole))),
  };
}

/** One supply's circuits at every EMF and source; states joint with the others of the supply. */
function supplySums(
  walk: WalkProblem,
  supply: number,
  drift: number,
  lnScale: number,
  fineness: GridFineness,
) {
  const { emf: nominal, emfSd, sourceOhms } = walk.supplies[supply]!;
  const loads = walk.loads.map(({ exact }) => exact[0]!.ohms);
  const places = normalPlaces(nominal, emfSd, fineness.emf).flatMap((emf) =>
    ohmPlaces(sourceOhms, fineness.source).map((source) => {
      const at = { emf: emf.value, drift, noiseScale: Math.exp(lnScale) };
      const place = { ...at, source: source.value, loads };
      const found = walk.circuits.flatMap((circuit, c) => {
        if (circuit.supply !== supply) return [];
        const chances = (k: number) => circuit.links[k]!.states[0];
        return [{ c, sums: pathSums(walk, circuit, place, { chances }, fineness) }];
      });
      const prior = emf.weight * source.weight;
      const likelihood = found.reduce((product, { sums }) => product * sums.likelihood, prior);
      const circuits = found.map(({ c, sums }) => ({
        c,
        states: sums.states.map((row) => row.map((p) => (p * likelihood) / sums.likelihood)),
      }));
      return { emf: emf.value, source: source.value, likelihood, circuits };
    }),
  );
  return { places, total: places.reduce((sum, { likelihood }) => sum + likelihood, 0) };
}

const more = (to: Map<number, number>, value: number, weight: number): void => {
  to.set(value, (to.get(value) ?? 0) + weight);
};

const quantilesOf = (weighed: ReadonlyMap<number, number>): Quantiles => ({
  low: weighedQuantile(weighed, 0, 0.05),
  median: weighedQuantile(weighed, 0, 0.5),
  high: weighedQuantile(weighed, 0, 0.95),
});
