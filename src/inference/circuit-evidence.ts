import { type CircuitModel, shapesOf } from "./chain/circuit-model.ts";
import { backward, type Messages } from "./chain/messages.ts";
import {
  type Nuisance,
  type PointLikelihoods,
  pointLikelihoods,
  seriesVolts,
  type VoltsAt,
} from "./chain/point-likelihoods.ts";
import { pressedEnd } from "./chain/pressed.ts";
import type { BehindLeak } from "./conducting/behind-leak.ts";
import type { CircuitLikelihood } from "./nest/nest-sum.ts";
import type { CircuitDisplay } from "./zero-runs.ts";

/** One way in which a circuit's readings may have come about, with its messages. */
export interface Way {
  /** Prior chance of this way, times the weight of its node where it is part of an integral. */
  readonly chance: number;
  /** Readings whose display was off. */
  readonly off: readonly number[];
  readonly model: CircuitModel;
  readonly points: PointLikelihoods;
  readonly messages: Messages;
  /** By what may conduct: the part of this way's chance in which it does. */
  readonly conducting: readonly number[];
  /** The last link of the chain that the messages go over. */
  readonly last: number;
  readonly voltsAt: VoltsAt;
  /** What lies behind a leak on this loop; absent where the chain goes to the path's end. */
  readonly beyond?: { readonly behind: BehindLeak; readonly base: number; readonly loop: number };
}

/** A way without its chance. */
export type WayThrough = Omit<Way, "chance" | "off" | "conducting">;

/** One circuit's readings given the walk's shared numbers: by configuration, over all ways. */
export interface WaysSum extends CircuitLikelihood {
  readonly ways: readonly Way[];
}

/** What sums leave out for less work. */
export interface Lightly {
  /** Contacts that come and go count as sound. */
  readonly steady: boolean;
  /** Contacts that hang together are taken one by one. */
  readonly apart: boolean;
}

const WHOLLY: Lightly = { steady: false, apart: false };

/**
 * The ways of a circuit in which only contacts matter, for zeros of shared runs that were `off`.
 *
 * @param unseen By what may conduct: its chance times how much likelier it makes the readings,
 *   where it cannot be told from nothing conducting; 0 where it has ways of its own.
 */
export function seriesWays(
  model: CircuitModel,
  display: CircuitDisplay,
  nuisance: Nuisance,
  off: readonly number[],
  unseen: readonly number[],
  { steady, apart }: Lightly = WHOLLY,
): readonly Way[] {
  const { circuit, shape, mesh, kernels } = model;
  const nothing = 1 - circuit.conducting.reduce((sum, one) => sum + one.chance, 0);
  const chance = unseen.reduce((sum, x) => sum + x, nothing);
  const conducting = unseen.map((x) => x / chance);
  const voltsAt = seriesVolts(circuit, nuisance);
  const end = pressedEnd(circuit, shape.links.at(-1)!.suffixes, mesh, nuisance);
  const shapes = apart ? [{ chance: 1, shape }] : shapesOf(model);
  return display.own.flatMap((own): readonly Way[] => {
    const all = [...own.off, ...off];
    const points = pointLikelihoods(
      mesh,
      circuit.readings,
      voltsAt,
      nuisance.noiseScale,
      all.length > 0 ? new Set(all) : null,
      shape.mayComeAndGo && !steady ? model.bad : null,
    );
    const last = shape.links.length - 1;
    return shapes.map((one) => ({
      chance: chance * own.chance * one.chance,
      off: all,
      model: { ...model, shape: one.shape },
      points,
      messages: backward(one.shape, kernels, points, mesh.t.length, end),
      conducting,
      last,
      voltsAt,
    }));
  });
}

/** What a way's messages count for on a scale. */
export const factorOf = ({ chance, messages }: Way, logScale: number): number =>
  chance * Math.exp(messages.logScale - logScale);

/** The sum over ways. */
export function sumWays(ways: readonly Way[]): WaysSum {
  const logScale = Math.max(...ways.map(({ messages }) => messages.logScale));
  const values = new Float64Array(ways[0]!.messages.likelihood.length);
  for (const way of ways) {
    const factor = factorOf(way, logScale);
    for (let c = 0; c < values.length; c++) values[c]! += factor * way.messages.likelihood[c]!;
  }
  // What is next to impossible may come out a hair under 0 between a mesh's nodes.
  for (let c = 0; c < values.length; c++) values[c] = Math.max(0, values[c]!);
  return { logScale, values, ways };
}

/** By way: what turns P(configuration | everything) into the weights of `wayOut`. */
export function wayWeights(sum: WaysSum, way: Way, posterior: Float64Array): Float64Array {
  const factor = factorOf(way, sum.logScale);
  return posterior.map((p, c) => (p > 0 ? (p * factor) / sum.values[c]! : 0));
}
