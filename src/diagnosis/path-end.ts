import type { CircuitReading } from "./circuit-model.ts";
import { type DisplayLikelihood, likelihoodAt } from "./display-likelihood.ts";
import type { EmfRange } from "./emf-pilot.ts";
import {
  overLaneBodies,
  type PathSketch,
  type ReadLinks,
  sketchedLikelihood,
} from "./path-sketch.ts";

/** A true value so far from the one shown, in its noise, was misread. */
const MISREAD = 5;
/** Probability of the paths that a mesh may leave out. */
const LEFT_OUT = 1e-4;

/**
 * Resistance of contacts that no path has, as far as the circuit's readings tell [Ω]: beyond it, all
 * readings behind the contact that leads there must have been misread. Infinite where that is not
 * next to impossible at one of the EMF's modes, as where the last point was not read.
 */
export function pathEnd(sketch: PathSketch, links: ReadLinks, range: EmfRange): number {
  if (links.at(-1)!.length === 0) return Number.POSITIVE_INFINITY;
  const cuts = links.map((_, i) => ({
    before: links.map((here, k) => (k < i ? here : [])),
    misread: allMisread(links.slice(i).flat()),
  }));
  const negligible = range.seeds.every(({ emf }) => {
    const likelihood = overLaneBodies(sketch, sketchedLikelihood(sketch, links, emf));
    const beyond = new Float64Array(sketch.laneBodies.length);
    for (const [i, { before, misread }] of cuts.entries()) {
      const fault = sketch.fault[i]!;
      for (const [c, value] of sketchedLikelihood(sketch, before, emf).entries())
        beyond[c]! += value * fault[c]! * misread;
    }
    return overLaneBodies(sketch, beyond).every(
      (value, state) => value <= LEFT_OUT * likelihood[state]!,
    );
  });
  if (!negligible) return Number.POSITIVE_INFINITY;
  return Math.max(...links.flat().map((reading) => farthest(reading, range.high)));
}

/** The likelihood of these readings where the path is beyond what they show. */
const allMisread = (readings: readonly CircuitReading[]): number =>
  readings.reduce(
    (product, { display }) => product * likelihoodAt(display, misreadFrom(display)),
    1,
  );

/** The largest true value that is too low for this display [V]. */
const misreadFrom = ({ shown, halfStep, noise }: DisplayLikelihood): number =>
  shown - halfStep - MISREAD * noise;

function farthest({ loadOhms, loopOhms, display }: CircuitReading, emf: number): number {
  const volts = misreadFrom(display);
  return volts > 0 ? (emf * loadOhms) / volts - loopOhms : Number.POSITIVE_INFINITY;
}
