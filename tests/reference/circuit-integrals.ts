import { filmPart, type LogNormal } from "../../src/domain/pool.ts";
import type { TestPool as Pool } from "../plain-pool.ts";
import { normalQuantile } from "./normal.ts";
import type { TabulatedReading } from "./reading-likelihood.ts";

/**
 * One circuit at one EMF: the integral over the resistances of its contacts, for every combination
 * of finite states, from quasi-random points.
 *
 * Combinations form a binary tree: node 1 is "nothing passed yet"; node n has the children 2n (next
 * contact sound) and 2n + 1 (next contact fouled). A node's integral holds the readings up to its
 * depth; an open contact just behind it, or the end of what was read, is for the caller to weigh.
 *
 * Points follow the prior, or the resistance that a reading further on asks for, in a fixed mixture
 * whose density is divided out again: a reading pins a fouled contact to a few ohms out of hundreds.
 */
export interface CircuitTask {
  readonly pool: Pool;
  /** Readings at each point of the chain, up to the last point that was read. */
  readonly readings: readonly (readonly TabulatedReading[])[];
  /** One array of coordinates in (0, 1) a contact. */
  readonly points: readonly Float64Array[];
}

/** Resistances and weights of all points at one node; weights average to the node's integral. */
export type NodeVisitor = (
  node: number,
  weights: Float64Array,
  resistances: readonly Float64Array[],
) => void;

interface Bump {
  /** Where the reading puts the resistance up to and with this contact [ohm]. */
  readonly centre: number;
  readonly width: number;
}

const typicalSound = 0.3;
const mostBumps = 3;

const bumpsFor = (task: CircuitTask, contact: number, emf: number): Bump[] => {
  const source = task.pool.supply.sourceOhms;
  const bumps: Bump[] = [];
  let behind = 0;
  for (let k = contact; k < task.readings.length; k++) {
    if (k > contact) behind += task.pool.chain[k]!.wireOhms + typicalSound;
    for (const { volts, loadOhms, spread } of task.readings[k]!) {
      const total = loadOhms * (emf / volts - 1);
      const slope = (loadOhms + Math.max(total, source)) ** 2 / (emf * loadOhms);
      const width = 1.3 * spread * slope + typicalSound * (1 + k - contact);
      const centre = total - source - behind;
      const known = bumps.some((b) => Math.abs(b.centre - centre) < 1.5 * b.width);
      if (volts > 0 && !known && centre > -3 * width && bumps.length < mostBumps) {
        bumps.push({ centre, width });
      }
    }
  }
  return bumps;
};

const rootTwoPi = Math.sqrt(2 * Math.PI);

/** Fills `ohmsOut` with this contact's points, multiplies `weights` by prior over proposal. */
const drawContact = (
  prior: LogNormal,
  shares: { readonly prior: number; readonly wide: number },
  bumps: readonly Bump[],
  coordinates: Float64Array,
  before: Float64Array,
  ohmsOut: Float64Array,
  weights: Float64Array,
): void => {
  const centre = Math.log(prior.medianOhms);
  const sd = prior.logSd;
  const fromPrior = bumps.length === 0 ? 1 - shares.wide : shares.prior;
  const share = bumps.length === 0 ? 0 : (1 - fromPrior - shares.wide) / bumps.length;
  const shift = 1.5 * sd;
  for (let i = 0; i < coordinates.length; i++) {
    const u = coordinates[i]!;
    let r: number;
    if (u < fromPrior) r = Math.exp(centre + sd * normalQuantile(u / fromPrior));
    else if (u < fromPrior + shares.wide) {
      r = Math.exp(centre + shift + sd * normalQuantile((u - fromPrior) / shares.wide));
    } else {
      const place = (u - fromPrior - shares.wide) / share;
      const bump = bumps[Math.min(Math.floor(place), bumps.length - 1)]!;
      const within = Math.min(Math.max(place - Math.floor(place), 1e-12), 1 - 1e-12);
      r = bump.centre - before[i]! + bump.width * normalQuantile(within);
    }
    if (!(r > 0)) {
      ohmsOut[i] = 1e-9;
      weights[i] = 0;
      continue;
    }
    ohmsOut[i] = r;
    const z = (Math.log(r) - centre) / sd;
    const y = z - 1.5;
    const density = Math.exp(-0.5 * z * z) / (rootTwoPi * sd * r);
    let proposal =
      fromPrior * density + (shares.wide * Math.exp(-0.5 * y * y)) / (rootTwoPi * sd * r);
    for (const bump of bumps) {
      const x = (r + before[i]! - bump.centre) / bump.width;
      proposal += (share * Math.exp(-0.5 * x * x)) / (rootTwoPi * bump.width);
    }
    weights[i] = density === 0 ? 0 : weights[i]! * (density / proposal);
  }
};

const weighReading = (
  { table, perVolt, loadOhms }: TabulatedReading,
  emf: number,
  source: number,
  series: Float64Array,
  weights: Float64Array,
): void => {
  const last = table.length - 2;
  for (let i = 0; i < series.length; i++) {
    const place = ((emf * loadOhms) / (loadOhms + source + series[i]!)) * perVolt;
    const cell = Math.min(Math.floor(place), last);
    const low = table[cell]!;
    weights[i]! *= low + (place - cell) * (table[cell + 1]! - low);
  }
};

/** Walks the tree depth first and shows every node to `visit`. Arrays are reused: do not keep. */
export const integrateCircuit = (task: CircuitTask, emf: number, visit: NodeVisitor): void => {
  const count = task.points[0]?.length ?? 1;
  const depth = task.readings.length;
  const source = task.pool.supply.sourceOhms;
  const fresh = () => Array.from({ length: depth + 1 }, () => new Float64Array(count));
  const [series, weights] = [fresh(), fresh()];
  const resistances = fresh();
  weights[0]!.fill(1);
  const bumps = task.readings.map((_, k) => bumpsFor(task, k, emf));
  const descend = (node: number, passed: number): void => {
    visit(node, weights[passed]!, resistances.slice(0, passed));
    if (passed === depth) return;
    const { wireOhms } = task.pool.chain[passed]!;
    for (const fouled of [0, 1]) {
      const before = series[passed]!.map((ohms) => ohms + wireOhms);
      const after = weights[passed + 1]!;
      after.set(weights[passed]!);
      const prior = fouled ? filmPart(task.pool.contact) : task.pool.contact.sound;
      const shares = fouled ? { prior: 3 / 8, wide: 1 / 16 } : { prior: 3 / 4, wide: 1 / 4 };
      const ohms = resistances[passed]!;
      drawContact(
        prior,
        shares,
        fouled ? bumps[passed]! : [],
        task.points[passed]!,
        before,
        ohms,
        after,
      );
      for (let i = 0; i < count; i++) series[passed + 1]![i] = before[i]! + ohms[i]!;
      for (const reading of task.readings[passed]!) {
        weighReading(reading, emf, source, series[passed + 1]!, after);
      }
      descend(2 * node + fouled, passed + 1);
    }
  };
  descend(1, 0);
};
