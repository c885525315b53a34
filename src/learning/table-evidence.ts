import type { Pool } from "../domain/pool.ts";
import { buildNest, type Nest } from "../inference/nest/nest.ts";
import { sumNest } from "../inference/nest/nest-sum.ts";
import { logSum } from "../numerics/log-sum.ts";
import { type CircuitAxis, LEAST_RATIO } from "./circuit-axis.ts";
import { apartOf, fromScale, poolNumbers, toScale } from "./pool-numbers.ts";
import type { TableCase, WalkTable } from "./walk-table.ts";

/** A table is believed so far beyond where a number was tried, on its scale; there nothing moves. */
const BEYOND = 0.5;

/** Where each number stands, near the pool that tables were laid for. */
interface Place {
  /** By key: on its scale, and as its value. */
  readonly at: ReadonlyMap<string, { readonly scale: number; readonly value: number }>;
  readonly pool: Pool;
}

/**
 * ln of how likely walks are under a changed pool, over the pool that their tables were laid for. Several
 * numbers at once multiply what each of them makes of a circuit: exact where at most one of them
 * matters to it, and along each number alone.
 */
export function tableEvidence(tables: readonly WalkTable[], base: Pool): (changed: Pool) => number {
  const reaches = new Map(
    poolNumbers(base).map((number) => {
      const at = toScale(number, number.value);
      return [number.key, { at, reach: BEYOND + apartOf(number) }] as const;
    }),
  );
  const placeOf = (pool: Pool): Place => ({
    pool,
    at: new Map(
      poolNumbers(pool).flatMap((number) => {
        const own = reaches.get(number.key);
        if (own === undefined) return [];
        const off = toScale(number, number.value) - own.at;
        const scale = own.at + Math.max(-own.reach, Math.min(own.reach, off));
        return [[number.key, { scale, value: fromScale(number, scale) }] as const];
      }),
    ),
  });
  const there = placeOf(base);
  const walks = tables.map((table) => walkEvidence(table, there));
  return (changed) => {
    const place = placeOf(changed);
    return walks.reduce((sum, walk) => sum + walk(place), 0);
  };
}

/** One walk's, over that at `base`, where it was laid. */
function walkEvidence(table: WalkTable, base: Place): (place: Place) => number {
  const { nodes, circuitAxes } = table;
  const sizes = table.bodiesOf.map(({ length }) => 1 << length);
  const nestFor = nestMaker(table);
  const logsAt = (place: Place): readonly number[] => {
    const nest = nestFor(place.pool);
    const weights = circuitAxes.map((axis) => axisWeights(axis, place));
    return nodes.map(({ cases }, n) =>
      logSum(
        cases.map((one, d) => {
          const ratios = circuitAxes.map((axis) => axis.ratios[n]![d]!);
          const values = changedValues(one, circuitAxes, ratios, weights);
          return one.logChance + sumNest(nest, apart(values, sizes, one)).logLikelihood;
        }),
      ),
    );
  };
  const before = logsAt(base);
  const bentBefore = bendOf(table, base);
  return (place) => {
    const logs = logsAt(place);
    const moved = logs.map((log, n) => Math.log(nodes[n]!.weight) + log - before[n]!);
    return logSum(moved) + bendOf(table, place) - bentBefore;
  };
}

/** What numbers that change the walk as a whole make of it. */
const bendOf = ({ walkAxes }: WalkTable, place: Place): number =>
  walkAxes.reduce((sum, { key, at, apart, logs: [down, up] }) => {
    const z = ((place.at.get(key)?.scale ?? at) - at) / apart;
    return sum + ((up - down) / 2) * z + ((up + down) / 2) * z * z;
  }, 0);

/** The nest is laid anew only where a body's chance has changed. */
function nestMaker({ bodiesOf, connectors }: WalkTable): (pool: Pool) => Nest {
  let kept: { readonly chances: readonly number[]; readonly nest: Nest } | null = null;
  return (pool) => {
    const chances = connectors.map((index) => pool.connectors[index]!.priors.contaminated);
    if (kept === null || chances.some((chance, b) => chance !== kept!.chances[b])) {
      kept = { chances, nest: buildNest(bodiesOf, chances) };
    }
    return kept.nest;
  };
}

/** Weights of the base (first) and of each value that was tried: Lagrange's, by value or by scale. */
function axisWeights({ key, form, values }: CircuitAxis, { at }: Place): readonly number[] {
  const own = at.get(key);
  if (own === undefined) return values.map((_, i) => (i === 0 ? 1 : 0));
  const places = form === "chance" ? values : values.map(Math.log);
  const x = form === "chance" ? own.value : own.scale;
  return places.map((place, i) =>
    places.reduce(
      (product, other, j) => (i === j ? product : (product * (x - other)) / (place - other)),
      1,
    ),
  );
}

/** By axis and tried value, `ratios`; by axis, `weights`. */
function changedValues(
  { values }: TableCase,
  axes: readonly CircuitAxis[],
  ratios: readonly (readonly Float64Array[])[],
  weights: readonly (readonly number[])[],
): Float64Array {
  const own = values.slice();
  for (const [a, { form }] of axes.entries()) {
    const [base, first, second = 0] = weights[a]!;
    if (base === 1) continue;
    const [one, other = one!] = ratios[a]!;
    for (let k = 0; k < own.length; k++) {
      const tried = first! * one![k]! + second * other[k]!;
      own[k]! *= form === "chance" ? Math.max(LEAST_RATIO, base! + tried) : Math.exp(tried);
    }
  }
  return own;
}

/** Circuit by circuit again. */
function apart(values: Float64Array, sizes: readonly number[], { logScales }: TableCase) {
  let at = 0;
  return sizes.map((size, c) => {
    const own = values.subarray(at, at + size);
    at += size;
    return { logScale: logScales[c]!, values: own };
  });
}
