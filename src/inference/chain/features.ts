import type { CircuitProblem, ReadingProblem } from "../problem.ts";
import type { Feature } from "./mesh.ts";
import { wireOhmsTo } from "./point-likelihoods.ts";

/** Between what the numbers that circuits share may lie while one mesh serves. */
export interface NuisanceRange {
  /** By supply, drift included [V]. */
  readonly emf: readonly (readonly [low: number, high: number])[];
  readonly noiseScale: number;
  readonly sourceOhms: readonly (readonly [low: number, high: number])[];
  readonly loadOhms: readonly (readonly [low: number, high: number])[];
}

/** Where along one reading's slope its width is looked at, in its standard deviations. */
const ALONG = [0, -2.5, 2.5, -5, 5, -9] as const;
/** Widths less apart than this need no feature of their own. */
const ALIKE = 1.4;

/** Where on the axis the likelihoods of one circuit's readings vary, like ones joined. */
export function circuitFeatures(
  circuit: CircuitProblem,
  scale: number,
  range: NuisanceRange,
): readonly Feature[] {
  const wire = wireOhmsTo(circuit);
  const found = circuit.readings.flatMap((readings, link) =>
    readings.flatMap((reading) => readingFeatures(circuit, reading, wire[link]!, scale, range)),
  );
  return [...joined(found), ...limitFeature(circuit, wire.at(-1)!, scale)];
}

/**
 * Where the axis may end: so far beyond every reading's place that a path there makes each of them a
 * misread one. At the last point that is one misread value and a fault, less than 1e-5 of the
 * likelihood; a path whose last point was not read has no end.
 */
export function axisEnd(circuit: CircuitProblem, features: readonly Feature[]): number {
  if ((circuit.readings.at(-1)?.length ?? 0) === 0) return 1;
  return Math.min(1, Math.max(...features.map(({ high, width }) => high + BEYOND * width)));
}

/** In standard deviations of a reading's noise; the wide normal is three times as wide. */
const BEYOND = 18;

/** The limit, where a path's distribution is cut: panels there are short beside it. */
function limitFeature(
  { limitOhms }: CircuitProblem,
  wire: number,
  scale: number,
): readonly Feature[] {
  if (limitOhms === null || !(limitOhms > wire)) return [];
  const t = limitOhms - wire;
  const u = t / (scale + t);
  return [{ low: u, high: u, width: LIMIT_WIDTH * u * (1 - u) }];
}

/** In parts of the limit itself. */
const LIMIT_WIDTH = 0.25;

function readingFeatures(
  { supply }: CircuitProblem,
  reading: ReadingProblem,
  wire: number,
  scale: number,
  range: NuisanceRange,
): readonly Feature[] {
  const [emfLow, emfHigh] = range.emf[supply]!.map((emf) => emf + (reading.emfOffset ?? 0)) as [
    number,
    number,
  ];
  const [sourceLow, sourceHigh] = range.sourceOhms[supply]!;
  const [loadLow, loadHigh] = range.loadOhms[reading.meter]!;
  const s = reading.noise * range.noiseScale;
  const at = (volts: number, emf: number, load: number, source: number): number =>
    volts > 0 ? (emf * load) / volts - (load + source + wire) : Number.POSITIVE_INFINITY;
  const place = (volts: number): Feature => {
    const low = at(volts, emfLow, loadLow, sourceHigh);
    const high = at(volts, emfHigh, loadHigh, sourceLow);
    const middle = Math.max(0, Math.min(high, Math.max(low, 0)));
    return { low: folded(low, scale), high: folded(high, scale), width: widthAt(middle) };
  };
  /** Standard deviation of the noise in u, where the contacts add up to `t`. */
  const widthAt = (t: number): number => {
    const loop = loadLow + sourceLow + wire;
    const perOhm = Number.isFinite(t) ? (loop + t) / (scale + t) : 1;
    return (s * scale * perOhm * perOhm) / (emfHigh * loadLow);
  };
  const edges =
    reading.shown === 0
      ? [reading.halfStep]
      : reading.halfStep < 2 * s
        ? [reading.shown]
        : [reading.shown - reading.halfStep, reading.shown + reading.halfStep];
  return edges.flatMap((edge) => {
    const [main, ...others] = ALONG.map((z) => place(Math.max(edge + z * s, s / 8)));
    const apart = others.filter(
      ({ width }) => width < main!.width / ALIKE || width > main!.width * ALIKE,
    );
    return [main!, ...apart];
  });
}

/** Resistances under 0 lie left of the axis, as far as matters. */
const folded = (t: number, scale: number): number => {
  if (t === Number.POSITIVE_INFINITY) return 1;
  return t < -0.5 * scale ? -1 : t / (scale + t);
};

/** Rounds outward, so that like circuits share a mesh, and joins what overlaps: n readings of one
 * place make a likelihood narrower by the root of n. */
function joined(features: readonly Feature[]): readonly Feature[] {
  const rounded = features
    .map(({ low, high, width }) => {
      const grid = 2 ** Math.floor(Math.log2(width));
      return {
        low: Math.max(-1, Math.floor(low / grid) * grid),
        high: Math.min(1, Math.ceil(high / grid) * grid),
        width: grid * (width / grid < Math.SQRT2 ? 1 : Math.SQRT2),
        readings: 1,
      };
    })
    .sort((a, b) => a.low - b.low);
  const merged: { low: number; high: number; width: number; readings: number }[] = [];
  for (const feature of rounded) {
    const before = merged.at(-1);
    const alike = before && before.width < 2 * feature.width && feature.width < 2 * before.width;
    if (alike && feature.low <= before.high) {
      before.high = Math.max(before.high, feature.high);
      before.width = Math.min(before.width, feature.width);
      before.readings += 1;
    } else merged.push(feature);
  }
  return merged.map(({ low, high, width, readings }) => ({
    low,
    high,
    width: width / Math.sqrt(Math.min(readings, MOST_TOGETHER)),
  }));
}

/** More readings than this of one place are seldom all of one mind. */
const MOST_TOGETHER = 6;
