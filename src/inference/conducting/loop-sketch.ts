import { loopVolts, voltsBehind } from "../../circuit/conducting.ts";
import { ohms, volts } from "../../domain/units.ts";
import { emfAt, type Nuisance, wireOhmsTo } from "../chain/point-likelihoods.ts";
import { lawDensity } from "../law-density.ts";
import { sketched } from "../nuisance/sketch.ts";
import { SOUND_OHMS } from "../nuisance/sound-ohms.ts";
import type { CircuitProblem, ConductingProblem, ReadingProblem } from "../problem.ts";

/**
 * What a conducting device or leak would make of a circuit's readings, near enough to say whether an
 * exact sum is worth its while and where it has to look. The path up to there is sound, or has one
 * fouled contact that the first reading behind it measures.
 */
export interface LoopSketch {
  /** ln P(readings | it conducts), and the same of its part with an open contact left out. */
  readonly logLikelihood: number;
  /** Loops [Ω] that carry the likelihood, with their parts of it (they sum to 1). */
  readonly loops: readonly { readonly ohms: number; readonly share: number }[];
}

/** By link, the chances of its contact. */
type Faults = readonly { readonly fouled: number; readonly sound: number }[];

/** Weight per volt of a fault behind a leak. */
const ANOTHER = 0.03;
/** Standard deviation of a sound contact [Ω]. */
const SOUND_SPREAD = 0.2;
const STEPS = 20;
const REACH = 3.6;
/** From where to where a fouled contact is looked for, in ln ohm. */
const FOULED = [0, 14] as const;

export function loopSketch(
  circuit: CircuitProblem,
  conducting: ConductingProblem,
  nuisance: Nuisance,
  faults: Faults,
  faulty: boolean,
  off: ReadonlyMap<number, number>,
): LoopSketch {
  const seen = new PathView(circuit, conducting, nuisance, faults, off);
  const { medianOhms, logSd } = conducting;
  const law = [{ share: 1, medianOhms, logSd }];
  const found: { ohms: number; weight: number }[] = [];
  const { link } = conducting;
  const reach = [-REACH, REACH].map((z) => Math.log(medianOhms) + z * logSd) as [number, number];
  for (let fault = -1; fault <= (faulty ? link : -1); fault++) {
    const prior = faults
      .slice(0, link + 1)
      .reduce((p, { sound, fouled }, k) => p * (k === fault ? fouled : sound), 1);
    if (!(prior > 0)) continue;
    // A fault that nothing tells from what conducts: together they are the loop.
    const untold = fault >= 0 && seen.firstBehind(fault) === undefined;
    const ohmsOf = (ln: number): number => (untold ? medianOhms : 0) + Math.exp(ln);
    const own = untold ? circuit.links[fault]!.fouled : law;
    const at = (ln: number) => seen.at(ohmsOf(ln), untold ? -1 : fault);
    const density = (ln: number): number => at(ln).likelihood * lawDensity(own, ln);
    const [least, most] = untold ? FOULED : reach;
    for (const { ln, mass } of masses(density, seen.startingPlaces(least, most, ohmsOf))) {
      const weight = prior * mass;
      if (!(weight > 0)) continue;
      found.push({ ohms: seen.loop(ohmsOf(ln), at(ln).added), weight });
    }
  }
  const total = found.reduce((sum, { weight }) => sum + weight, 0);
  return {
    logLikelihood: Math.log(total + Number.MIN_VALUE),
    loops: found
      .filter(({ weight }) => weight > 1e-5 * total)
      .map(({ ohms: loop, weight }) => ({ ohms: loop, share: weight / total })),
  };
}

/** A reading, and the link that it was taken behind. */
interface Located {
  readonly reading: ReadingProblem;
  readonly link: number;
}

/** Voltages of one circuit while `rd` conducts, and one contact may be fouled. */
class PathView {
  readonly #wire: readonly number[];
  readonly #source: number;
  readonly #faults: Faults;
  readonly #off: ReadonlyMap<number, number>;
  readonly #readings: readonly Located[];
  readonly circuit: CircuitProblem;
  readonly conducting: ConductingProblem;
  readonly nuisance: Nuisance;

  constructor(
    circuit: CircuitProblem,
    conducting: ConductingProblem,
    nuisance: Nuisance,
    faults: Faults,
    off: ReadonlyMap<number, number>,
  ) {
    this.#faults = faults;
    this.#off = off;
    this.circuit = circuit;
    this.conducting = conducting;
    this.nuisance = nuisance;
    this.#wire = wireOhmsTo(circuit);
    this.#source = nuisance.sourceOhms[circuit.supply]!;
    this.#readings = circuit.readings.flatMap((readings, link) =>
      readings.map((reading) => ({ reading, link })),
    );
  }

  /** Resistance up to a link, source included, one contact with `added` [Ω] more. */
  #before(link: number, fault: number, added: number): number {
    const sound = this.#source + this.#wire[link]! + (link + 1) * SOUND_OHMS;
    return sound + (fault >= 0 && fault <= link ? added : 0);
  }

  loop(rd: number, added: number): number {
    const { link } = this.conducting;
    return this.#source + this.#wire[link]! + (link + 1) * SOUND_OHMS + added + rd;
  }

  volts(reading: ReadingProblem, link: number, rd: number, fault: number, added: number): number {
    const emf = volts(emfAt(this.nuisance, this.circuit.supply, reading));
    const load = ohms(this.nuisance.loadOhms[reading.meter]!);
    const at = this.conducting.link;
    const joint = ohms(this.#before(at, fault, added));
    const loop = ohms(joint + rd);
    if (link <= at) return loopVolts(emf, load, ohms(this.#before(link, fault, added)), loop);
    const more = this.#wire[link]! - this.#wire[at]! + (link - at) * SOUND_OHMS;
    return voltsBehind(emf, load, joint, loop, ohms(more));
  }

  /** Likelihood of all readings, a fouled contact integrated over where its first reading puts it. */
  at(rd: number, fault: number): { likelihood: number; added: number } {
    const { nuisance } = this;
    const first = fault < 0 ? undefined : this.firstBehind(fault);
    let [added, measured] = [0, 1];
    if (fault >= 0) {
      if (first === undefined) throw new Error(`no reading behind link ${fault}`);
      const { reading, link } = first;
      const at = (r: number): number => this.volts(reading, link, rd, fault, r);
      added = solveFalling(at, reading.shown);
      const slope = Math.abs(at(added * 1.01 + 0.01) - at(added)) / (added * 0.01 + 0.01);
      const density = lawDensity(this.circuit.links[fault]!.fouled, Math.log(added)) / added;
      measured =
        density * Math.min(1, (2 * reading.halfStep) / Math.max(slope, 1e-12) / added) * added;
    }
    let likelihood = measured;
    let behind = 1;
    let [faulty, next] = [0, this.conducting.link + 1];
    for (const { reading, link } of this.#readings) {
      if (reading === first?.reading) continue;
      const at = this.volts(reading, link, rd, fault, added);
      const off = this.#off.get(reading.index) ?? 0;
      const scale = this.#scaleOf(reading, link, rd, added);
      const own = Math.max(off, sketched(reading, at, scale));
      if (link <= this.conducting.link) {
        likelihood *= own;
        continue;
      }
      // Behind a leak the path may have its own fault.
      const dead = sketched(reading, 0, nuisance.noiseScale);
      const lower = reading.shown > 0 ? ANOTHER * 2 * reading.halfStep : 0;
      faulty *= dead + lower;
      for (; next <= link; next++) {
        const { fouled, sound } = this.#faults[next]!;
        faulty += behind * ((1 - sound - fouled) * dead + fouled * (dead + lower));
      }
      behind *= own;
    }
    return { likelihood: likelihood * (behind + faulty), added };
  }

  /** The noise's scale, wider by what sound contacts up to a link may have of a small loop. */
  #scaleOf(reading: ReadingProblem, link: number, rd: number, added: number): number {
    const { noiseScale } = this.nuisance;
    const emf = emfAt(this.nuisance, this.circuit.supply, reading);
    const spread = (emf * SOUND_SPREAD * Math.sqrt(link + 1)) / this.loop(rd, added);
    return Math.hypot(noiseScale, spread / reading.noise);
  }

  /** The first reading behind a contact that measures it. */
  firstBehind(contact: number): Located | undefined {
    return this.#readings.find(({ link, reading }) => link >= contact && reading.shown > 0);
  }

  /** Places in ln ohm to look at first: evenly, and where a sound path would show each reading. */
  startingPlaces(least: number, most: number, ohmsOf: (ln: number) => number): readonly number[] {
    const even = Array.from({ length: STEPS + 1 }, (_, i) => least + ((most - least) * i) / STEPS);
    const solved = this.#readings.flatMap(({ reading, link }) => {
      const at = (ln: number): number => this.volts(reading, link, ohmsOf(ln), -1, 0);
      let [low, high] = [least, most];
      if (at(low) > reading.shown || at(high) < reading.shown) return [];
      for (let turn = 0; turn < 12; turn++) {
        const middle = (low + high) / 2;
        if (at(middle) < reading.shown) low = middle;
        else high = middle;
      }
      return [low];
    });
    return [...even, ...solved].sort((x, y) => x - y);
  }
}

/** Masses of a density by the trapezoidal rule, places added where it rises or falls fast. */
function masses(
  density: (ln: number) => number,
  places: readonly number[],
): readonly { readonly ln: number; readonly mass: number }[] {
  let nodes = places.map((ln) => ({ ln, value: density(ln) }));
  for (let round = 0; round < ROUNDS; round++) {
    const most = Math.max(...nodes.map(({ value }) => value));
    const added = nodes.slice(1).flatMap((right, i) => {
      const left = nodes[i]!;
      const [more, less] = [Math.max(left.value, right.value), Math.min(left.value, right.value)];
      if (!(more > 0.02 * most) || less > 0.4 * more || right.ln - left.ln < 1e-4) return [];
      const ln = (left.ln + right.ln) / 2;
      return [{ ln, value: density(ln) }];
    });
    if (added.length === 0) break;
    nodes = [...nodes, ...added].sort((x, y) => x.ln - y.ln);
  }
  return nodes.map(({ ln, value }, i) => {
    const width = ((nodes[i + 1]?.ln ?? ln) - (nodes[i - 1]?.ln ?? ln)) / 2;
    return { ln, mass: value * width };
  });
}

const ROUNDS = 6;

/** The r > 0 at which a falling function reaches `target`. */
function solveFalling(f: (r: number) => number, target: number): number {
  let [low, high] = [-5, 20];
  for (let turn = 0; turn < 20; turn++) {
    const middle = (low + high) / 2;
    if (f(Math.exp(middle)) > target) low = middle;
    else high = middle;
  }
  return Math.exp((low + high) / 2);
}
