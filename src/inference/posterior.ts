import { CABLE, FOULED, OPEN, STATES, wayOut } from "./chain/adjoint.ts";
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
import { blamelessLikelihood } from "./chain/restricted.ts";
import { factorOf, type Way, type WaysSum, wayWeights } from "./circuit-evidence.ts";
import type { CircuitProblem, ReadingProblem, WalkProblem } from "./problem.ts";
import { ResistanceMass } from "./resistance.ts";
import type { Quantiles } from "./shared-numbers.ts";
import type { WalkNode } from "./walk-node.ts";

/** One value of the walk's shared numbers, with its part of the posterior. */
export interface InferredNode {
  readonly nuisance: Nuisance;
  readonly weight: number;
  /** Its weight where few nodes have to stand for all: sums to 1 as well. */
  readonly alone: number;
  readonly walk: WalkNode;
}

/** What the readings of a walk say of its circuits, connectors and readings. */
export interface WalkPosterior {
  readonly circuits: readonly CircuitInference[];
  /** By body: P(at least one faulty contact in it); absent where no circuit was read behind it. */
  readonly bodyAtFault: ReadonlyMap<number, number>;
  /** By the readings' numbers. */
  readonly readings: ReadonlyMap<number, ReadingInference>;
}

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
interface ReadingSums {
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

/** Resistances and readings are looked at where this much of the posterior is. */
const DETAILED = 0.999;
const MOST_DETAILED = 32;

/** With fewer circuits than this, the noise's scale is known so little that readings feel it. */
const FEW = 4;

/** A node's part in what is said of resistances, and of readings and volts. */
interface Share {
  readonly ohms: number;
  readonly readings: number;
}

/**
 * How much is asked of a walk: all; all but `pinned`, which only walks after it need; or `pinned` and
 * `readings` alone, what its readings say by themselves.
 */
export type Asked = "all" | "findings" | "readings";

export function posteriorOf(
  walk: WalkProblem,
  nodes: readonly InferredNode[],
  asked: Asked = "all",
): WalkPosterior {
  const detailed = detailedNodes(nodes);
  const inner = nodes.filter(({ alone }) => alone > NO_NODE);
  const sums = new Map<number, ReadingSums>();
  const few = walk.circuits.length < FEW;
  const circuits = walk.circuits.map((circuit, c) => {
    for (const { index } of circuit.readings.flat()) {
      sums.set(index, { misread: 0, off: 0, badMoment: 0, others: 0, below: 0, same: 0 });
    }
    const add = (to: CircuitSums, node: InferredNode, weight: number, share: Share): void => {
      for (const [ways, posterior] of configurationsOf(node.walk, c)) {
        for (const way of ways.ways) {
          to.add(way, wayWeights(ways, way, posterior), weight, share, node.nuisance);
        }
      }
    };
    const own = new CircuitSums(walk, circuit, sums, asked);
    for (const node of inner) {
      const share = detailed.get(node) ?? 0;
      add(own, node, node.alone, { ohms: share, readings: share });
    }
    if (own.isQuiet() || (asked === "readings" && !few)) return own.found();
    for (const node of nodes) {
      const more = node.weight - node.alone;
      if (Math.abs(more) > NO_NODE) add(own, node, more, { ohms: 0, readings: few ? more : 0 });
    }
    return own.found();
  });
  const blanks = blankChances(walk);
  const readings = new Map(
    [...sums].map(([index, { misread, off, badMoment, others, below, same }]) => {
      const blank = blanks.get(index) ?? 0;
      const [less, equal] = others > 0 ? [below / others, same / others] : [0.5, 0];
      // Only zeros have a blank chance: nothing is shown under them.
      const expected = { below: (1 - blank) * less, same: (1 - blank) * equal + blank };
      return [index, { misread, off, badMoment, expected }] as const;
    }),
  );
  return {
    circuits,
    bodyAtFault: asked === "readings" ? new Map() : faultsOf(walk, nodes),
    readings,
  };
}

/** P(configuration | all readings) of a circuit, by its own sums: displays off elsewhere share them. */
function configurationsOf(
  { displays }: WalkNode,
  circuit: number,
): ReadonlyMap<WaysSum, Float64Array> {
  const found = new Map<WaysSum, Float64Array>();
  for (const { probability, circuits, sum } of displays) {
    const ways = circuits[circuit]!;
    const own = sum.posterior[circuit]!;
    const sofar = found.get(ways) ?? new Float64Array(own.length);
    found.set(
      ways,
      sofar.map((p, configuration) => p + probability * own[configuration]!),
    );
  }
  return found;
}

/** Chance that each zero was left by a display that was off, from the zeros before it alone. */
function blankChances({ zeroRuns }: WalkProblem): ReadonlyMap<number, number> {
  return new Map(
    zeroRuns.flatMap(({ readings, off, stays }) => {
      let before = 0;
      return readings.map((index, i) => {
        before = Math.min(1, off[i]! + stays * before);
        return [index, before] as const;
      });
    }),
  );
}

type Doubts = Map<number, ReadingSums>;

/** One circuit's sums, way by way and node by node. */
class CircuitSums {
  readonly #circuit: CircuitProblem;
  readonly #readings: Doubts;
  readonly #asked: Asked;
  readonly #wire: readonly number[];
  readonly #states: readonly Float64Array[];
  #pinned: PinnedStates;
  readonly #masses: readonly ResistanceMass[];
  readonly #conducting: number[];
  /** By link: expected volts with and without its contact. */
  readonly #with: Float64Array;
  readonly #without: Float64Array;
  readonly #fullScale: number;
  #beyond = 0;

  constructor(walk: WalkProblem, circuit: CircuitProblem, readings: Doubts, asked: Asked) {
    this.#circuit = circuit;
    this.#asked = asked;
    this.#fullScale = 1.1 * walk.supplies[circuit.supply]!.emf;
    this.#readings = readings;
    this.#wire = wireOhmsTo(circuit);
    this.#states = circuit.links.map(() => new Float64Array(STATES.length));
    this.#pinned = nothingPinned(circuit.links.length);
    this.#masses = circuit.links.map(() => new ResistanceMass());
    this.#conducting = circuit.conducting.map(() => 0);
    this.#with = new Float64Array(circuit.links.length);
    this.#without = new Float64Array(circuit.links.length);
  }

  add(way: Way, weights: Float64Array, weight: number, share: Share, nuisance: Nuisance): void {
    const { model, points, messages, last } = way;
    const mass = weights.reduce((sum, w, c) => sum + w * messages.likelihood[c]!, 0);
    for (const [k, part] of way.conducting.entries()) {
      this.#conducting[k]! += weight * mass * part;
    }
    if (mass * Math.max(Math.abs(weight), Math.abs(share.readings)) < NO_WAY) return;
    for (const index of way.off) {
      const doubts = this.#readings.get(index);
      if (doubts) doubts.off += share.readings * mass;
    }
    const { links } = this.#circuit;
    const limit = this.#circuit.limitOhms;
    const opened = new Float64Array(links.length);
    if (share.ohms > 0 && this.#asked !== "findings") this.#addPinned(way, weights, share.ohms);
    const alone = mass * share.ohms > UNSEEN ? share.ohms : 0;
    const told = mass * Math.abs(share.readings) > UNSEEN ? share.readings : 0;
    if (told !== 0) this.#without[0]! += told * mass * way.voltsAt(this.#probe(), 0)(0);
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
          const missing = mass - found.reduce((sum, x) => sum + x, 0);
          for (let s = 0; s < found.length; s++) this.#states[link]![s]! += weight * found[s]!;
          if (link > last) this.#addPrior(link, weight * missing, alone * missing);
        },
        point: (link, steady, shaky, dead) => {
          // Behind a leak the rest of the path is taken as sound.
          if (link === last && limit !== null) {
            const over = pathBeyond(model.mesh, steady, shaky, limit - this.#wire.at(-1)!);
            this.#beyond += weight * (over + dead);
          }
          if (told !== 0) this.#addPoint(way, link, steady, shaky, dead, told, nuisance);
        },
        ...(alone > 0 && this.#asked !== "readings"
          ? {
              contact: (link: number, found: Parameters<ResistanceMass["add"]>[3]) =>
                this.#masses[link]!.add(model, messages, link, found, opened[link]!, alone),
            }
          : {}),
      },
      last,
    );
  }

  /** Whether nothing of it is likely to be at fault: one node then stands for all. */
  isQuiet(): boolean {
    const faulty = this.#states.map((own) => own[FOULED]! + own[OPEN]! + own[CABLE]!);
    return Math.max(this.#beyond, ...faulty, ...this.#conducting) < QUIET;
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

  /** Contacts behind a leak that nothing was seen of: as the prior has them while clean. */
  #addPrior(link: number, weight: number, share: number): void {
    const { states, sound } = this.#circuit.links[link]!;
    const { sound: s, fouled, open, cable, intermittent } = states[0];
    for (const [k, chance] of [s, fouled, open, cable, intermittent].entries()) {
      this.#states[link]![k]! += weight * chance;
    }
    this.#masses[link]!.addPrior(sound, share);
  }

  #probe(): ReadingProblem {
    const first = this.#circuit.readings.flat()[0] ?? this.#circuit.pressed.flat()[0]!;
    return { ...first, order: 0 };
  }

  #addPoint(
    way: Way,
    link: number,
    steady: Float64Array,
    shaky: Float64Array | null,
    dead: number,
    share: number,
    nuisance: Nuisance,
  ): void {
    const { mesh } = way.model;
    const size = mesh.t.length;
    const here = way.voltsAt(this.#probe(), link);
    const next = link + 1 <= way.last ? way.voltsAt(this.#probe(), link + 1) : null;
    for (let m = 0; m < size; m++) {
      const p = steady[m]! + (shaky === null ? 0 : shaky[m]!);
      if (Math.abs(p) < NOTHING) continue;
      this.#with[link]! += share * p * here(mesh.t[m]!);
      if (next !== null) this.#without[link + 1]! += share * p * next(mesh.t[m]!);
    }
    for (const reading of this.#circuit.readings[link]!) {
      if (way.off.includes(reading.index)) continue;
      this.#addReading(way, reading, link, steady, shaky, dead, share, nuisance.noiseScale);
    }
  }

  /** Why a reading may not show its path, and what the others let expect in its place. */
  #addReading(
    way: Way,
    reading: ReadingProblem,
    link: number,
    steady: Float64Array,
    shaky: Float64Array | null,
    dead: number,
    share: number,
    noiseScale: number,
  ): void {
    const { mesh, bad } = way.model;
    const size = mesh.t.length;
    const sums = this.#readings.get(reading.index)!;
    const at = way.voltsAt(reading, link);
    const upTo = (volts: number, shown: number): number =>
      belowAt(reading, volts, noiseScale, shown, this.#fullScale);
    const step = 2 * reading.halfStep;
    const likelihood = new Float64Array(size);
    const below = new Float64Array(size);
    for (let m = 0; m < size; m++) {
      const volts = at(mesh.t[m]!);
      likelihood[m] = likelihoodAt(reading, volts, noiseScale);
      below[m] = reading.shown > 0 ? upTo(volts, reading.shown - step) : 0;
    }
    const add = (weight: number, l: number, under: number): void => {
      if (!(weight > NOTHING)) return;
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
    const [pulled, pulledBelow] = [new Float64Array(size), new Float64Array(size)];
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
      underLimit: this.#circuit.limitOhms === null ? null : within(this.#beyond),
    };
  }
}

/** Chances that add to 1: rules of integration and what is left out leave them a hair off. */
function normalized(chances: Float64Array): Float64Array {
  const whole = chances.reduce((sum, chance) => sum + chance, 0);
  return chances.map((chance) => Math.min(1, chance / whole));
}

/** What is as unlikely as this at the posterior's middle differs little from node to node. */
const QUIET = 0.02;

/** A way of less than this part of the posterior has no say in quantiles and expected volts. */
const UNSEEN = 1e-4;

/** Less probability than this shows in no printed figure. */
const NOTHING = 1e-7;
/** A node of less weight than this is left out. */
const NO_NODE = 5e-6;
/** A way of less than this part of the posterior at a node is left out there. */
const NO_WAY = 1e-6;

/** P(a body holds at least one faulty contact), for every body that a read circuit passes. */
function faultsOf(walk: WalkProblem, nodes: readonly InferredNode[]): ReadonlyMap<number, number> {
  const faults = new Map<number, number>();
  for (const body of walk.bodies.keys()) {
    const linkOf = walk.circuits.map(({ links }) => links.findIndex((link) => link.body === body));
    if (linkOf.every((link) => link < 0)) continue;
    const at = ({ displays }: WalkNode): number => {
      const known = new Map<WaysSum, Float64Array>();
      const blamelessAt = (ways: WaysSum, link: number): Float64Array => {
        const values = known.get(ways) ?? blamelessValues(ways, link);
        known.set(ways, values);
        return values;
      };
      return displays.reduce(
        (blameless, { probability, circuits, sum }) =>
          blameless + probability * sum.chance(body, (c) => blamelessAt(circuits[c]!, linkOf[c]!)),
        0,
      );
    };
    let blameless = 0;
    for (const { alone, walk: node } of nodes) if (alone > NO_NODE) blameless += alone * at(node);
    if (1 - blameless >= QUIET) {
      for (const { alone, weight, walk: node } of nodes) {
        const more = weight - alone;
        if (Math.abs(more) > NO_NODE) blameless += more * at(node);
      }
    }
    faults.set(body, Math.min(1, Math.max(0, 1 - blameless)));
  }
  return faults;
}

/** The likelihood of a circuit's readings and that its contact of link k is not to blame. */
function blamelessValues({ ways, logScale, values }: WaysSum, link: number): Float64Array {
  const total = new Float64Array(values.length);
  for (const way of ways) {
    const { model, points, messages, last } = way;
    const size = model.mesh.t.length;
    const { shape, kernels } = model;
    const own = blamelessLikelihood(shape, kernels, points, messages, size, link, last);
    const factor = factorOf(way, logScale);
    for (let k = 0; k < total.length; k++) total[k]! += factor * own[k]!;
  }
  return total;
}

/** The likeliest nodes, with weights that sum to 1. */
function detailedNodes(nodes: readonly InferredNode[]): ReadonlyMap<InferredNode, number> {
  const falling = [...nodes].filter(({ alone }) => alone > 0).sort((a, b) => b.alone - a.alone);
  const kept: InferredNode[] = [];
  let sum = 0;
  for (const node of falling) {
    if (kept.length >= MOST_DETAILED || sum > DETAILED) break;
    kept.push(node);
    sum += node.alone;
  }
  return new Map(kept.map((node) => [node, node.alone / sum]));
}
