import { RowStore } from "../numerics/row-store.ts";
import { BehindMass } from "./behind-mass.ts";
import { CABLE, FOULED, INTERMITTENT, OPEN, SOUND, STATES, wayOut } from "./chain/adjoint.ts";
import { pullBack } from "./chain/contact-kernel.ts";
import { pathBeyond } from "./chain/path-beyond.ts";
import {
  addPinned,
  nothingPinned,
  type PinnedStates,
  pinnedStates,
} from "./chain/pinned-states.ts";
import { type Nuisance, wireOhmsTo } from "./chain/point-likelihoods.ts";
import { belowAt, likelihoodAt } from "./chain/reading-likelihood.ts";
import type { Way } from "./circuit-evidence.ts";
import type { BehindLeak } from "./conducting/behind-leak.ts";
import type { CircuitProblem, ReadingProblem, WalkProblem } from "./problem.ts";
import { ResistanceMass } from "./resistance.ts";
import type { Quantiles } from "./shared-numbers.ts";

/** Why a displayed value may not show its path, and how odd it is: probabilities. */
export interface ReadingInference {
  readonly misread: number;
  readonly off: number;
  readonly badMoment: number;
  /**
   * What all other readings of the walk let expect at its place: P(the display shows less) and P(it
   * shows this value). Zeros that a display which was off may have left are counted in.
   */
  readonly expected: { readonly below: number; readonly same: number };
}

/** The same while it is summed up. */
export interface ReadingSums {
  misread: number;
  off: number;
  badMoment: number;
  /** Weight of the others' posterior, and of it what is shown less often or as is. */
  others: number;
  below: number;
  same: number;
}

export interface CircuitInference {
  /** By link, probabilities of `STATES`. */
  readonly states: readonly Float64Array[];
  /** What the readings make of its contacts' states, whatever was believed of them before. */
  readonly pinned: PinnedStates;
  /** By link: median, 5 % and 95 % quantile of its resistance, open counting as infinite [Ω]. */
  readonly ohms: readonly Quantiles[];
  /** By link: expected volts that the contact takes from the reading behind it [V]. */
  readonly voltsLost: readonly number[];
  /** By what may conduct: the probability that it does. */
  readonly conducting: readonly number[];
  /** P(the path is over its limit, open included); null where nothing is judged. */
  readonly underLimit: number | null;
}

/** A node's part in what is said of resistances, and of readings and volts. */
export interface Share {
  readonly ohms: number;
  readonly readings: number;
}

/**
 * How much is asked of a walk: all; all but `pinned`, which only walks after it need; or `pinned` and
 * `readings` alone, what its readings say by themselves.
 */
export type Asked = "all" | "findings" | "readings";

/** A chain of contacts with its messages: a whole path up to where it ends, or what lies behind a leak. */
type Chain = Pick<Way, "model" | "points" | "messages" | "last" | "voltsAt" | "off">;

/** What a chain has of the posterior at one node, and that node. */
interface Part {
  /** P(the chain). */
  readonly mass: number;
  readonly weight: number;
  readonly share: Share;
  readonly nuisance: Nuisance;
  /** The path's link with which the chain begins. */
  readonly first: number;
  /** P(the path is over its limit) from the probabilities by node of the chain's end. */
  over(steady: Float64Array, shaky: Float64Array | null, dead: number): number;
  /** Told where the chain ends in front of further links: as `ChainVisitor.end`. */
  end?(probabilities: Float64Array): void;
}

/** What lies behind one leak at one node of the shared numbers. */
interface Gathered {
  readonly mass: BehindMass;
  /** P(the path is over its limit), the rest of it taken as sound. */
  overAsSound: number;
}

type Doubts = Map<number, ReadingSums>;

type Scratch = readonly [Float64Array, Float64Array, Float64Array, Float64Array];

function scratchOf(size: number): Scratch {
  const store = new RowStore(4 * size);
  return [store.row(size), store.row(size), store.row(size), store.row(size)];
}

/** One circuit's sums, way by way and node by node. */
export class CircuitSums {
  readonly #circuit: CircuitProblem;
  readonly #readings: Doubts;
  readonly #asked: Asked;
  readonly #states: readonly Float64Array[];
  #pinned: PinnedStates;
  readonly #masses: readonly ResistanceMass[];
  readonly #conducting: number[];
  /** By link: expected volts with and without its contact. */
  readonly #with: Float64Array;
  readonly #without: Float64Array;
  readonly #fullScale: number;
  /** A reading of no place in the walk's order, for what is shown at its middle. */
  readonly #probe: ReadingProblem;
  /** What the contacts of a good path may have in all [Ω]; null where nothing is judged. */
  readonly #most: number | null;
  readonly #behind = new Map<BehindLeak, Gathered>();
  #over = 0;
  #scratch = scratchOf(0);

  constructor(walk: WalkProblem, circuit: CircuitProblem, readings: Doubts, asked: Asked) {
    this.#circuit = circuit;
    this.#asked = asked;
    this.#fullScale = 1.1 * walk.supplies[circuit.supply]!.emf;
    this.#readings = readings;
    const first = circuit.readings.flat()[0] ?? circuit.pressed.flat()[0]!;
    this.#probe = { ...first, order: 0 };
    const wire = wireOhmsTo(circuit).at(-1)!;
    this.#most = circuit.limitOhms === null ? null : circuit.limitOhms - wire;
    this.#states = circuit.links.map(() => new Float64Array(STATES.length));
    this.#pinned = nothingPinned(circuit.links.length);
    this.#masses = circuit.links.map(() => new ResistanceMass());
    this.#conducting = circuit.conducting.map(() => 0);
    this.#with = new Float64Array(circuit.links.length);
    this.#without = new Float64Array(circuit.links.length);
  }

  /** Adds one way at one node; what lies behind a leak waits for `addBehind`. */
  add(way: Way, weights: Float64Array, weight: number, share: Share, nuisance: Nuisance): void {
    const { model, messages, beyond } = way;
    const mass = weights.reduce((sum, w, c) => sum + w * messages.likelihood[c]!, 0);
    for (const [k, part] of way.conducting.entries()) {
      this.#conducting[k]! += weight * mass * part;
    }
    if (mass * Math.max(Math.abs(weight), Math.abs(share.readings)) < NO_WAY) return;
    for (const index of way.off) {
      const doubts = this.#readings.get(index);
      if (doubts) doubts.off += share.readings * mass;
    }
    if (share.ohms > 0 && this.#asked !== "findings") this.#addPinned(way, weights, share.ohms);
    const asSound = (steady: Float64Array, shaky: Float64Array | null): number =>
      pathBeyond(model.mesh, steady, shaky, this.#most ?? 0);
    const part = { mass, weight, share, nuisance, first: 0 };
    if (beyond === undefined) {
      const over: Part["over"] = (steady, shaky, dead) => asSound(steady, shaky) + dead;
      this.#along(way, weights, { over, ...part });
      return;
    }
    const gathered = this.#gathered(beyond.behind, way.last);
    this.#along(way, weights, {
      over: (steady, shaky, dead) => {
        gathered.overAsSound += asSound(steady, shaky);
        return dead;
      },
      end: (probabilities) => {
        gathered.mass.add(probabilities, model.mesh, beyond.base, beyond.loop);
      },
      ...part,
    });
  }

  /** Adds what lies behind leaks, for all ways of one node together. */
  addBehind(weight: number, share: Share, nuisance: Nuisance): void {
    for (const { mass, overAsSound } of this.#behind.values()) {
      const first = mass.link + 1;
      if (mass.probability * Math.max(Math.abs(weight), Math.abs(share.readings)) < NO_LEAK) {
        this.#over += weight * overAsSound;
        for (let link = first; link < this.#circuit.links.length; link++)
          this.#addPrior(link, weight * mass.probability, share.ohms * mass.probability);
        continue;
      }
      for (const { probability, starts, over: surely, ...chain } of mass.parts()) {
        const { model, weights } = chain;
        const off = [...mass.behind.off];
        const last = model.shape.links.length - 1;
        this.#along({ off, last, ...chain }, weights, {
          mass: 1,
          weight: weight * probability,
          share: { ohms: share.ohms * probability, readings: share.readings * probability },
          ...{ nuisance, first },
          over: (steady, shaky, dead) =>
            starts.reduce((sum, { t, probability: here }) => {
              if (here === 0) return sum;
              const most = (this.#most ?? 0) - t;
              return sum + here * (pathBeyond(model.mesh, steady, shaky, most) + dead);
            }, surely),
        });
      }
    }
    this.#behind.clear();
  }

  #gathered(behind: BehindLeak, link: number): Gathered {
    const known = this.#behind.get(behind);
    if (known !== undefined) return known;
    const own = { mass: new BehindMass(behind, link, this.#most), overAsSound: 0 };
    this.#behind.set(behind, own);
    return own;
  }

  #along(chain: Chain, weights: Float64Array, part: Part): void {
    const { model, points, messages, last, voltsAt } = chain;
    const { mass, weight, share, first } = part;
    const opened = new Float64Array(model.shape.links.length);
    const alone = mass * share.ohms > UNSEEN ? share.ohms : 0;
    const told = mass * Math.abs(share.readings) > UNSEEN ? share.readings : 0;
    if (told !== 0) this.#without[first]! += told * mass * voltsAt(this.#probe, 0)(0);
    wayOut(
      model.shape,
      model.kernels,
      points,
      messages,
      model.mesh.t.length,
      weights,
      {
        states: (link, found) => {
          opened[link] = found[OPEN]! + found[CABLE]!;
          for (let s = 0; s < found.length; s++)
            this.#states[first + link]![s]! += weight * found[s]!;
          if (link <= last) return;
          this.#addUnseen(first + link, found, alone);
          const dead = found.reduce((sum, x) => sum + x, 0);
          if (told !== 0) this.#addPoint(chain, link, NOWHERE, null, dead, { told, ...part });
        },
        point: (link, steady, shaky, dead) => {
          if (link === last && this.#most !== null) {
            this.#over += weight * part.over(steady, shaky, dead);
          }
          if (told !== 0) this.#addPoint(chain, link, steady, shaky, dead, { told, ...part });
        },
        ...(part.end === undefined ? {} : { end: part.end }),
        ...(alone > 0 && this.#asked !== "readings"
          ? {
              contact: (link: number, found: Parameters<ResistanceMass["add"]>[3]) =>
                this.#masses[first + link]!.add(model, messages, link, found, opened[link]!, alone),
            }
          : {}),
      },
      last,
    );
  }

  /** Whether nothing of it is likely to be at fault: one node then stands for all. */
  isQuiet(): boolean {
    const faulty = this.#states.map((own) => own[FOULED]! + own[OPEN]! + own[CABLE]!);
    return Math.max(this.#over, ...faulty, ...this.#conducting) < QUIET;
  }

  #addPinned(
    { model: { shape, kernels, mesh }, points, messages, last }: Way,
    weights: Float64Array,
    share: number,
  ): void {
    const size = mesh.t.length;
    const own = pinnedStates(shape, kernels, points, messages, size, weights, last);
    this.#pinned = addPinned(this.#pinned, own, share);
  }

  /** A contact behind a leak that is next to impossible: as the prior has it while clean. */
  #addPrior(link: number, weight: number, share: number): void {
    const { states, sound } = this.#circuit.links[link]!;
    const { sound: s, fouled, open, cable, intermittent } = states[0];
    for (const [k, chance] of [s, fouled, open, cable, intermittent].entries()) {
      this.#states[link]![k]! += weight * chance;
    }
    this.#masses[link]!.addPrior(sound, share);
  }

  /** A contact in front of which the path is open: its resistance is the prior's, given its state. */
  #addUnseen(link: number, states: Float64Array, share: number): void {
    const sound = states[SOUND]! + states[INTERMITTENT]!;
    const open = states[OPEN]! + states[CABLE]!;
    const mass = this.#masses[link]!;
    mass.addUnseen(this.#circuit.links[link]!, sound, states[FOULED]!, open, share);
  }

  #addPoint(
    chain: Chain,
    link: number,
    steady: Float64Array,
    shaky: Float64Array | null,
    dead: number,
    { told, first, nuisance }: Pick<Part, "first" | "nuisance"> & { readonly told: number },
  ): void {
    const { t } = chain.model.mesh;
    const here = chain.voltsAt(this.#probe, link);
    const next = link + 1 <= chain.last ? chain.voltsAt(this.#probe, link + 1) : null;
    for (let m = 0; m < steady.length; m++) {
      const p = steady[m]! + (shaky === null ? 0 : shaky[m]!);
      if (Math.abs(p) < NOTHING) continue;
      this.#with[first + link]! += told * p * here(t[m]!);
      if (next !== null) this.#without[first + link + 1]! += told * p * next(t[m]!);
    }
    for (const reading of this.#circuit.readings[first + link]!) {
      if (chain.off.includes(reading.index)) continue;
      this.#addReading(chain, reading, link, steady, shaky, dead, told, nuisance.noiseScale);
    }
  }

  /** Why a reading may not show its path, and what the others let expect in its place. */
  #addReading(
    way: Chain,
    reading: ReadingProblem,
    link: number,
    steady: Float64Array,
    shaky: Float64Array | null,
    dead: number,
    share: number,
    noiseScale: number,
  ): void {
    const { mesh, bad } = way.model;
    const size = steady.length;
    const sums = this.#readings.get(reading.index)!;
    const at = way.voltsAt(reading, link);
    const upTo = (volts: number, shown: number): number =>
      belowAt(reading, volts, noiseScale, shown, this.#fullScale);
    const step = 2 * reading.halfStep;
    const [likelihood, below, pulled, pulledBelow] = this.#scratchOf(size);
    for (let m = 0; m < size; m++) {
      const volts = at(mesh.t[m]!);
      likelihood[m] = likelihoodAt(reading, volts, noiseScale);
      below[m] = reading.shown > 0 ? upTo(volts, reading.shown - step) : 0;
    }
    const add = (weight: number, l: number, under: number): void => {
      if (!(Math.abs(weight) > NOTHING)) return;
      sums.misread += (share * weight * reading.floor) / l;
      sums.others += (share * weight) / l;
      sums.below += (share * weight * under) / l;
      sums.same += share * weight;
    };
    const ifOpen = likelihoodAt(reading, 0, noiseScale);
    const belowOpen = reading.shown > 0 ? upTo(0, reading.shown - step) : 0;
    add(dead, ifOpen, belowOpen);
    for (let m = 0; m < size; m++) add(steady[m]!, likelihood[m]!, below[m]!);
    if (shaky === null) return;
    pullBack(bad.kernel, likelihood, 0, pulled, 0);
    pullBack(bad.kernel, below, 0, pulledBelow, 0);
    const chance = reading.badMoment;
    for (let m = 0; m < size; m++) {
      const moment = chance * (bad.fouled * pulled[m]! + (1 - bad.fouled) * ifOpen);
      const momentBelow = chance * (bad.fouled * pulledBelow[m]! + (1 - bad.fouled) * belowOpen);
      const whole = (1 - chance) * likelihood[m]! + moment;
      add(shaky[m]!, whole, (1 - chance) * below[m]! + momentBelow);
      sums.badMoment += (share * shaky[m]! * (moment - chance * reading.floor)) / whole;
    }
  }

  /** Four rows to work on, which are written over at every reading. */
  #scratchOf(size: number): Scratch {
    if (this.#scratch[0].length !== size) this.#scratch = scratchOf(size);
    return this.#scratch;
  }

  found(): CircuitInference {
    const ohms = this.#masses.map((mass): Quantiles => {
      const [low, median, high] = mass.quantiles([0.05, 0.5, 0.95]);
      return { low: low!, median: median!, high: high! };
    });
    // A star's centre may weigh less than nothing: what is rare may come out a hair under 0.
    const within = (p: number): number => Math.min(1, Math.max(0, p));
    return {
      states: this.#states.map((own) => normalized(own.map(within))),
      pinned: this.#pinned,
      ohms,
      voltsLost: this.#circuit.links.map((_, k) => Math.max(0, this.#without[k]! - this.#with[k]!)),
      conducting: this.#conducting.map(within),
      underLimit: this.#most === null ? null : within(this.#over),
    };
  }
}

/** Chances that add to 1: rules of integration and what is left out leave them a hair off. */
function normalized(chances: Float64Array): Float64Array {
  const whole = chances.reduce((sum, chance) => sum + chance, 0);
  return chances.map((chance) => Math.min(1, chance / whole));
}

/** What is as unlikely as this at the posterior's middle differs little from node to node. */
export const QUIET = 0.02;

/** Nowhere on any mesh: the path is open. */
const NOWHERE = new Float64Array(0);
/** Behind a leak of less than this part of the posterior at a node, contacts are as the prior has them. */
const NO_LEAK = 3e-5;

/** A way of less than this part of the posterior has no say in quantiles and expected volts. */
const UNSEEN = 1e-4;

/** Less probability than this shows in no printed figure. */
const NOTHING = 1e-7;
/** A way of less than this part of the posterior at a node is left out there. */
const NO_WAY = 1e-6;
