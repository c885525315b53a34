import { shelfOf } from "../diagnosis/pool-shelf.ts";
import { weighRivals } from "../diagnosis/rivals/weigh-rivals.ts";
import { poseWalk } from "../diagnosis/walk-problem.ts";
import type { Pool } from "../domain/pool.ts";
import type { Reading } from "../domain/reading.ts";
import { circuitModel, type Shelf } from "../inference/chain/circuit-model.ts";
import type { NuisanceRange } from "../inference/chain/features.ts";
import type { Nuisance } from "../inference/chain/point-likelihoods.ts";
import { isPressedInside } from "../inference/chain/pressed.ts";
import { seriesWays, sumWays, type WaysSum } from "../inference/circuit-evidence.ts";
import { conductingPlan, conductingWays } from "../inference/conducting/plan.ts";
import { pressedPlan, pressedWays } from "../inference/conducting/pressed-ways.ts";
import { infer } from "../inference/infer.ts";
import { nestOf } from "../inference/nest/nest.ts";
import type { InferredNode } from "../inference/posterior.ts";
import type { CircuitProblem, WalkProblem } from "../inference/problem.ts";
import { type WalkNode, walkNode } from "../inference/walk-node.ts";
import { displayOf } from "../inference/zero-runs.ts";
import { logSum } from "../numerics/log-sum.ts";
import { type NoiseProfile, PROFILE } from "./noise-profile.ts";
import { type LaidCircuit, relaid } from "./relaid.ts";

/**
 * A walk whose shared numbers stand where the pool file as it is puts them: what other numbers of the
 * file make of its readings is then summed at those places alone, without looking for them again.
 *
 *     P(readings | changed) / P(readings | as it is) = sum over nodes n of
 *         P(n | readings, as it is)  P(readings | n, changed) / P(readings | n, as it is)
 *
 * Importance sampling's identity (Robert and Casella 2004, section 3.3, from memory) on the nodes of
 * the integral. Of a walk that a rival explains better (swapped rows, a step of the supply) the rival
 * is taken for what happened.
 */
export interface StandingWalk {
  readonly readings: readonly Reading[];
  /** By body: its connector's place in the pool's list. */
  readonly connectors: readonly number[];
  /** The walk by the pool that it stands by. */
  readonly problem: WalkProblem;
  readonly places: readonly Place[];
  /** A standard deviation down and up, one shared number at a time; none where nodes cover them. */
  readonly sides: readonly (readonly [down: Place, up: Place])[];
  /** What it says of its noise over the one that was stated at first. */
  readonly noise: NoiseProfile;
  /** By how much the stated noise is larger now, in ln. */
  readonly stated: number;
}

/** Throws where no reading rests: such a walk says nothing. */
export function standWalk(pool: Pool, readings: readonly Reading[]): StandingWalk {
  const shelf = shelfOf(pool);
  const posed = poseWalk(pool, readings);
  const { problem, nodes } = likeliestWay(pool, posed.problem, shelf);
  const kept = keptNodes(nodes);
  const laid = new Map<string, readonly LaidCircuit[]>();
  const placeOf = (nuisance: Nuisance, weight: number): Place => {
    const key = `${nuisance.sourceOhms} | ${nuisance.loadOhms}`;
    let circuits = laid.get(key);
    if (circuits === undefined) {
      circuits = layCircuits(problem, shelf, rangeOf(problem, nodes, nuisance), nuisance);
      laid.set(key, circuits);
    }
    return { nuisance, weight, circuits };
  };
  const places = kept.map(({ nuisance, alone }) => placeOf(nuisance, alone));
  const beside = (nuisance: Nuisance): Place => placeOf(nuisance, 1);
  const [only] = kept;
  return {
    stated: 0,
    readings,
    connectors: posed.bodies.map(({ index }) => index),
    problem,
    places,
    sides:
      kept.length > 1
        ? []
        : sidesOf(problem, nodes, only!.nuisance).map(
            ([down, up]) => [beside(down), beside(up)] as const,
          ),
    noise: noiseProfile(problem, nodes, places),
  };
}

/** The same walk by another pool's numbers: where its nodes are now, and their parts. */
export function movedTo(walk: StandingWalk, pool: Pool): StandingWalk {
  const problem = posedBy(walk, pool);
  // What the readings say of the noise in volts stays; only the prior of its scale moves.
  const { noiseLogSd } = pool.model;
  const sd = (walk.noise.at[3]! - walk.noise.at[2]!) / PROFILE[3];
  const larger = noiseRatio(walk.problem, problem);
  const shift = noiseLogSd > 0 ? -(1 - (sd / noiseLogSd) ** 2) * larger : 0;
  const shifted = (place: Place): Place => ({
    ...place,
    nuisance: { ...place.nuisance, noiseScale: place.nuisance.noiseScale * Math.exp(shift) },
  });
  const places = walk.places.map(shifted);
  return {
    ...walk,
    problem,
    places: places.length === 1 ? places : reweighed(walk, problem, places),
    sides: walk.sides.map(([down, up]) => [shifted(down), shifted(up)] as const),
    stated: walk.stated + larger,
  };
}

function reweighed(
  walk: StandingWalk,
  problem: WalkProblem,
  places: readonly Place[],
): readonly Place[] {
  const before = nodesOf(walk, walk.problem);
  const logs = places.map(
    (place, n) =>
      Math.log(place.weight) + nodeAt(problem, place).logLikelihood - before[n]!.logLikelihood,
  );
  const total = logSum(logs);
  return places.map((place, n) => ({ ...place, weight: Math.exp(logs[n]! - total) }));
}

/** The walk as a changed pool has it. */
export const posedBy = ({ problem, readings }: StandingWalk, changed: Pool): WalkProblem =>
  withNumbers(problem, poseWalk(changed, readings).problem);

/** The readings at each node, by whatever numbers. */
export const nodesOf = ({ places }: StandingWalk, problem: WalkProblem): readonly WalkNode[] =>
  places.map((place) => nodeAt(problem, place));

/** The same beside the only node. */
export const nodesBeside = (
  { sides }: StandingWalk,
  problem: WalkProblem,
): readonly (readonly [down: WalkNode, up: WalkNode])[] =>
  sides.map(([down, up]) => [nodeAt(problem, down), nodeAt(problem, up)] as const);

/** A value of the shared numbers with all that is laid for it, and its part of the posterior. */
interface Place {
  readonly nuisance: Nuisance;
  readonly weight: number;
  readonly circuits: readonly LaidCircuit[];
}

interface Moments {
  readonly mean: number;
  readonly sd: number;
}

/** The likeliest way in which the walk came about, and where its shared numbers are. */
function likeliestWay(
  pool: Pool,
  problem: WalkProblem,
  shelf: Shelf,
): { readonly problem: WalkProblem; readonly nodes: readonly InferredNode[] } {
  if (pool.model.plain) return { problem, nodes: infer(problem, shelf, "readings").nodes };
  const { found, rivals } = weighRivals(problem, shelf, "readings");
  const rest = 1 - rivals.reduce((sum, { probability }) => sum + probability, 0);
  const best = rivals.reduce(
    (sofar, { rival, probability }) =>
      probability > sofar.probability ? { probability, problem: rival.problem } : sofar,
    { probability: rest, problem },
  );
  return { problem: best.problem, nodes: found.nodes };
}

/** So much of the posterior is enough, and so many nodes are. */
const COVERED = 0.98;
const MOST_NODES = 12;

/** The nodes that stand for all, with weights that sum to 1. */
function keptNodes(nodes: readonly InferredNode[]): readonly InferredNode[] {
  const falling = nodes.filter(({ alone }) => alone > 0).sort((a, b) => b.alone - a.alone);
  let sum = 0;
  const kept = falling.slice(0, MOST_NODES).filter(({ alone }) => {
    const wanted = sum < COVERED;
    if (wanted) sum += alone;
    return wanted;
  });
  return kept.map((node) => ({ ...node, alone: node.alone / sum }));
}

function momentsOf(nodes: readonly InferredNode[], of: (nuisance: Nuisance) => number): Moments {
  const about = (centre: number, power: number): number =>
    nodes.reduce((sum, { nuisance, weight }) => sum + weight * (of(nuisance) - centre) ** power, 0);
  const mean = about(0, 1);
  return { mean, sd: Math.sqrt(Math.max(0, about(mean, 2))) };
}

const logNoise = ({ noiseScale }: Nuisance): number => Math.log(noiseScale);

/** What a changed law or noise may move: each supply's EMF, and with several meters the noise. */
function sidesOf(
  { circuits, noiseLogSd }: WalkProblem,
  nodes: readonly InferredNode[],
  middle: Nuisance,
): readonly (readonly [down: Nuisance, up: Nuisance])[] {
  const supplies = [...new Set(circuits.map(({ supply }) => supply))];
  const meters = new Set(
    circuits.flatMap(({ readings }) => readings.flat().map((one) => one.meter)),
  );
  const emfs = supplies.map((supply) => {
    const { sd } = momentsOf(nodes, ({ emf }) => emf[supply]!);
    const at = (off: number): Nuisance => ({
      ...middle,
      emf: middle.emf.with(supply, middle.emf[supply]! + off),
    });
    return [at(-sd), at(sd)] as const;
  });
  if (meters.size < 2 || !(noiseLogSd > 0)) return emfs;
  const { sd } = momentsOf(nodes, logNoise);
  const at = (off: number): Nuisance => ({
    ...middle,
    noiseScale: middle.noiseScale * Math.exp(off),
  });
  return [...emfs, [at(-sd), at(sd)] as const];
}

/**
 * The likelihood along the noise at each node, the EMF and the drift being as well known as the noise lets
 * them: with prior variance p and v at the node's own noise, at e^x of that 1 / (1/p + (1/v - 1/p) e^-2x).
 */
function noiseProfile(
  problem: WalkProblem,
  nodes: readonly InferredNode[],
  places: readonly Place[],
): NoiseProfile {
  const { mean, sd } = momentsOf(nodes, logNoise);
  const at = PROFILE.map((z) => mean + z * sd);
  if (!(sd > 0)) return { at, logs: at.map(() => 0) };
  const { driftSd } = problem;
  const read = [...new Set(problem.circuits.map(({ supply }) => supply))];
  const free =
    places.length > 1
      ? []
      : [
          ...read.map((supply) => ({
            prior: problem.supplies[supply]!.emfSd,
            own: momentsOf(nodes, ({ emf }) => emf[supply]!).sd,
          })),
          { prior: driftSd, own: momentsOf(nodes, ({ drift }) => drift).sd },
        ].filter(({ prior, own }) => prior > 0 && own > 0 && own < prior);
  const before = places.map((place) => nodeAt(problem, place).logLikelihood);
  const logs = at.map((u) =>
    logSum(
      places.map((place, n) => {
        const { nuisance } = place;
        const changed = { ...place, nuisance: { ...nuisance, noiseScale: Math.exp(u) } };
        const there = nodeAt(problem, changed).logLikelihood;
        const x = u - logNoise(nuisance);
        const wider = free.reduce((sum, { prior, own }) => {
          const told = own ** -2 - prior ** -2;
          return sum - 0.5 * Math.log((prior ** -2 + told * Math.exp(-2 * x)) * own ** 2);
        }, 0);
        return Math.log(place.weight) + there - before[n]! + wider;
      }),
    ),
  );
  return { at, logs };
}

/** By how much the stated noise of a walk's readings is larger, in ln, in the mean. */
function noiseRatio(before: WalkProblem, after: WalkProblem): number {
  const logs = before.circuits.flatMap(({ readings }, c) =>
    readings.flatMap((row, k) =>
      row.map(({ noise }, i) => Math.log(after.circuits[c]!.readings[k]![i]!.noise / noise)),
    ),
  );
  return logs.reduce((sum, log) => sum + log, 0) / logs.length;
}

/**
 * Meshes are laid for so many standard deviations around, and for a noise so far down: further where the
 * meters' own noise is tried on them.
 */
const AROUND = 5;
const LOWEST = { oneMeter: 0.8, tried: 0.55 };

function rangeOf(
  problem: WalkProblem,
  nodes: readonly InferredNode[],
  { sourceOhms, loadOhms }: Nuisance,
): NuisanceRange {
  const drift = Math.max(...nodes.map(({ nuisance }) => Math.abs(nuisance.drift))) / 2;
  const isProfiled = problem.loads.length === 1 && problem.noiseLogSd > 0;
  const lowest = isProfiled ? LOWEST.oneMeter : LOWEST.tried;
  return {
    emf: problem.supplies.map((_, s) => {
      const { mean, sd } = momentsOf(nodes, ({ emf }) => emf[s]!);
      const reach = AROUND * sd + drift;
      return [mean - reach, mean + reach] as const;
    }),
    noiseScale: lowest * Math.min(...nodes.map(({ nuisance }) => nuisance.noiseScale)),
    sourceOhms: sourceOhms.map((x) => [x, x] as const),
    loadOhms: loadOhms.map((x) => [x, x] as const),
  };
}

function layCircuits(
  problem: WalkProblem,
  shelf: Shelf,
  range: NuisanceRange,
  nuisance: Nuisance,
): readonly LaidCircuit[] {
  const display = displayOf(problem.circuits, problem.zeroRuns);
  return problem.circuits.map((circuit, c) => {
    const laid = {
      model: circuitModel(problem, circuit, range, shelf),
      plan: conductingPlan(problem, shelf, circuit, range, nuisance),
      pressed: isPressedInside(circuit)
        ? pressedPlan(problem, shelf, circuit, range, nuisance)
        : null,
    };
    if (laid.pressed !== null) return { ...laid, calm: false };
    const [whole, steady] = [false, true].map((calm) =>
      waysOf({ ...laid, calm }, display.circuits[c]!, nuisance, []),
    );
    const ratio = Math.max(...whole!.values.map((value, k) => value / steady!.values[k]!));
    return { ...laid, calm: whole!.logScale - steady!.logScale + Math.log(ratio) < CALM };
  });
}

/** So much, in ln, contacts that come and go may add to a calm circuit. */
const CALM = 0.02;

/** The same readings, by another pool's chances, laws and noise: also where rows were swapped. */
function withNumbers(walk: WalkProblem, posed: WalkProblem): WalkProblem {
  const byIndex = new Map(
    posed.circuits
      .flatMap(({ readings, pressed }) => [...readings.flat(), ...pressed.flat()])
      .map((reading) => [reading.index, reading]),
  );
  const renewed = (rows: CircuitProblem["readings"]): CircuitProblem["readings"] =>
    rows.map((row) =>
      row.map((reading) => {
        const { noise, slope, floor } = byIndex.get(reading.index)!;
        return { ...reading, noise, slope, floor };
      }),
    );
  return {
    ...walk,
    bodies: posed.bodies,
    badMoments: posed.badMoments,
    zeroRuns: posed.zeroRuns,
    circuits: walk.circuits.map((circuit, c) => ({
      ...circuit,
      links: posed.circuits[c]!.links,
      readings: renewed(circuit.readings),
      pressed: renewed(circuit.pressed),
    })),
  };
}

function nodeAt(problem: WalkProblem, { nuisance, circuits }: Place): WalkNode {
  const nest = nestOf(problem);
  const display = displayOf(problem.circuits, problem.zeroRuns);
  const laid = problem.circuits.map((circuit, c) =>
    relaid(circuits[c]!, circuit, problem.badMoments.law),
  );
  const known = new Map<string, WaysSum>();
  return walkNode(nest, display.shared, laid.length, (c, off) => {
    const own = display.circuits[c]!;
    const mine = off.filter((index) => own.sharedZeros.has(index));
    const key = `${c} ${mine.join(" ")}`;
    const sum = known.get(key) ?? waysOf(laid[c]!, own, nuisance, mine);
    known.set(key, sum);
    return sum;
  });
}

function waysOf(
  { model, plan, pressed, calm }: LaidCircuit,
  own: Parameters<typeof seriesWays>[1],
  nuisance: Nuisance,
  off: readonly number[],
): WaysSum {
  const conducting = conductingWays(model, plan, own, nuisance, off);
  const rest =
    pressed === null
      ? seriesWays(model, own, nuisance, off, plan.unseen, { steady: calm, apart: false })
      : pressedWays(model, pressed, own, nuisance, off, plan.unseen);
  return sumWays([...rest, ...conducting]);
}
