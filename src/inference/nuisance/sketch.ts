import { readingVolts } from "../../circuit/divider.ts";
import { ohms, volts } from "../../domain/units.ts";
import { normalDensity } from "../../numerics/normal.ts";
import { emfAt, type Nuisance, wireOhmsTo } from "../chain/point-likelihoods.ts";
import { likelihoodAt } from "../chain/reading-likelihood.ts";
import type { CircuitProblem, LogNormalPart, ReadingProblem, WalkProblem } from "../problem.ts";

/**
 * ln P(one circuit's readings | the walk's shared numbers), near enough to say where to look: the
 * circuit is sound up to its first fault, whose first reading behind it says what it adds. Nothing
 * that is printed comes from here.
 */
export type Sketch = (nuisance: Nuisance) => number;

/** The likelihood of a circuit's readings by what happened to it, near enough for a sketch. */
export interface SketchParts {
  readonly sound: number;
  /** By link of the first fault. */
  readonly fouled: readonly number[];
  readonly open: readonly number[];
}

/** What a sound contact adds, near enough for a sketch [Ω]. */
const SOUND_OHMS = 0.28;
/** Weight per volt of a further fault behind the first. */
const ANOTHER = 0.03;
/** A zero that a display which was off may have left. */
const BLANK = 0.003;

export function circuitSketch(walk: WalkProblem, circuit: CircuitProblem): Sketch {
  const parts = sketchParts(walk, circuit);
  const conducts = circuit.conducting.reduce((sum, { chance }) => sum + chance, 0);
  const anything = conducts * CONDUCTS ** circuit.readings.flat().length;
  return (nuisance) => Math.log(totalOf(parts(nuisance)) + anything + Number.MIN_VALUE);
}

export const totalOf = ({ sound, fouled, open }: SketchParts): number =>
  [...fouled, ...open].reduce((sum, x) => sum + x, sound);

/** Chances of each contact, its body's state summed out. */
export const marginalFaults = (
  walk: WalkProblem,
  circuit: CircuitProblem,
): readonly { readonly fouled: number; readonly open: number; readonly sound: number }[] =>
  circuit.links.map(({ body, states }) => {
    const chance = body === null ? 0 : walk.bodies[body]!.contaminated;
    const of = (pick: "fouled" | "open" | "cable"): number =>
      (1 - chance) * states[0][pick] + chance * states[1][pick];
    const [fouled, open] = [of("fouled"), of("open") + of("cable")];
    return { fouled, open, sound: 1 - fouled - open };
  });

export function sketchParts(
  walk: WalkProblem,
  circuit: CircuitProblem,
): (nuisance: Nuisance) => SketchParts {
  const faults = marginalFaults(walk, circuit);
  const wire = wireOhmsTo(circuit);
  return (nuisance) => {
    let sound = 1;
    const fouled: number[] = [];
    const open: number[] = [];
    for (let i = 0; i < circuit.links.length; i++) {
      const behind = behindFault(circuit, wire, i, nuisance, faults[i]!.fouled, faults[i]!.open);
      fouled.push(sound * behind.fouled);
      open.push(sound * behind.open);
      sound *= faults[i]!.sound;
      for (const reading of circuit.readings[i]!) {
        sound *= seen(circuit, nuisance, reading, wire[i]! + (i + 1) * SOUND_OHMS);
      }
    }
    return { sound, fouled, open };
  };
}

/** A circuit that conducts shows anything: per reading, this part of all displays. */
const CONDUCTS = 2e-3;

const voltsBehind = (
  circuit: CircuitProblem,
  nuisance: Nuisance,
  reading: ReadingProblem,
  series: number,
): number =>
  readingVolts(
    volts(emfAt(nuisance, circuit.supply, reading)),
    ohms(nuisance.loadOhms[reading.meter]!),
    ohms(nuisance.sourceOhms[circuit.supply]!),
    ohms(series),
  );

function seen(
  circuit: CircuitProblem,
  nuisance: Nuisance,
  reading: ReadingProblem,
  series: number,
): number {
  const at = voltsBehind(circuit, nuisance, reading, series);
  const value = likelihoodAt(reading, at, nuisance.noiseScale);
  return reading.shown === 0 ? value + BLANK : value;
}

/** Likelihood of the readings from link `from` on behind a contact that is fouled or open. */
function behindFault(
  circuit: CircuitProblem,
  wire: readonly number[],
  from: number,
  nuisance: Nuisance,
  fouled: number,
  open: number,
): { readonly fouled: number; readonly open: number } {
  let [ifFouled, ifOpen] = [fouled, open];
  let added: number | null = null;
  for (let i = from; i < circuit.links.length; i++) {
    for (const reading of circuit.readings[i]!) {
      ifOpen *= seen(circuit, nuisance, reading, Number.POSITIVE_INFINITY);
      const series = wire[i]! + i * SOUND_OHMS;
      if (added === null) {
        // A zero says nothing about how much; what it says of an open contact is in `ifOpen`.
        const shown = Math.max(reading.shown, reading.halfStep);
        const emf = emfAt(nuisance, circuit.supply, reading);
        const load = nuisance.loadOhms[reading.meter]!;
        added = (emf * load) / shown - load - nuisance.sourceOhms[circuit.supply]! - series;
        const perVolt = (emf * load) / (shown * shown);
        const s = reading.noise * nuisance.noiseScale;
        const density = blurred(circuit.links[from]!.fouled, added, perVolt * s);
        ifFouled *= reading.slope * density * perVolt * 2 * reading.halfStep + reading.floor;
      } else {
        const again = seen(circuit, nuisance, reading, series + Math.max(0, added));
        ifFouled *= ANOTHER * 2 * reading.halfStep + again;
      }
    }
  }
  return { fouled: ifFouled, open: ifOpen };
}

/** A law's density seen through a reading: its mean over a normal around `r`. */
function blurred(law: readonly LogNormalPart[], r: number, sd: number): number {
  if (r > 8 * sd) return density(law, r);
  const wide = Math.sqrt(3) * sd;
  return (4 * density(law, r) + density(law, r - wide) + density(law, r + wide)) / 6;
}

function density(law: readonly LogNormalPart[], r: number): number {
  if (!(r > 0)) return 0;
  return law.reduce(
    (sum, { share, medianOhms, logSd }) =>
      sum + (share * normalDensity(Math.log(r / medianOhms) / logSd)) / (r * logSd),
    0,
  );
}
