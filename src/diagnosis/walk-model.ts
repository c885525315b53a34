import type { Lane } from "../domain/place.ts";
import { UNIT_LOAD } from "../domain/pool.ts";
import { isResting, type Reading } from "../domain/reading.ts";
import { type ChainPool, type PartReading, partKey } from "./chain-pool.ts";
import { type ChainPrior, chainPrior } from "./chain-prior.ts";
import type { CircuitModel, CircuitReading } from "./circuit-model.ts";
import { type BlockShelf, blockShelf, contactKernel } from "./contact-kernel.ts";
import { displayLikelihood } from "./display-likelihood.ts";
import type { EmfRange } from "./emf-pilot.ts";
import { buildMesh, type Feature, type PanelTree, panelTree } from "./mesh.ts";
import { meterOffChances } from "./meter-window.ts";
import { pathEnd } from "./path-end.ts";
import { type PathSketch, pathSketch } from "./path-sketch.ts";

/** A circuit's readings as the model takes them. */
export interface ReadCircuit {
  readonly lane: Lane;
  readonly device: string;
  /** By link of the chain. */
  readonly readings: readonly (readonly WeighedReading[])[];
}

/** One reading, with the row that it came from. */
export interface WeighedReading extends CircuitReading {
  readonly reading: Reading;
  /** Chance that the meter was off [0..1], used where it shows 0. */
  readonly meterOff: number;
}

/** The walk's resting readings by lane and circuit, in the pool's order; unread ones left out. */
export interface ReadWalk {
  readonly pool: ChainPool;
  readonly prior: ChainPrior;
  /** Tells near enough how likely a circuit's readings are. */
  readonly sketch: PathSketch;
  readonly lanes: readonly { readonly lane: Lane; readonly circuits: readonly ReadCircuit[] }[];
}

/**
 * Sorts one walk's readings into circuits. Pressed readings say nothing about an open switch's
 * path and are left out; circuits without a reading are too, unless `unread` asks for them. Throws
 * if a reading names what the pool does not have: intake's promise.
 */
export function readWalk(
  pool: ChainPool,
  readings: readonly PartReading[],
  unread = false,
): ReadWalk {
  const resting = readings.filter(isResting);
  const meters = new Map(pool.meters.map((meter) => [meter.name, meter]));
  const linkOf = new Map(pool.chain.map(({ point }, i) => [point, i]));
  const wireTo = wireOhmsTo(pool);
  const steps = displaySteps(pool, resting);
  const off = meterOffChances(resting, meters);
  const byCircuit = new Map<string, WeighedReading[][]>();
  for (const [index, reading] of resting.entries()) {
    const meter = meters.get(reading.meter);
    const link = linkOf.get(reading.point);
    if (meter === undefined || link === undefined) {
      throw new Error(`reading of line ${reading.line} names no meter or point of this pool`);
    }
    const loadOhms = meter.loadOhms ?? UNIT_LOAD;
    const key = partKey(reading);
    const links = byCircuit.get(key) ?? pool.chain.map(() => []);
    links[link]!.push({
      link,
      loadOhms,
      loopOhms: loadOhms + pool.supply.sourceOhms + wireTo[link]!,
      display: displayLikelihood(pool, meter, steps.get(meter.name)!, reading.volts, off[index]!),
      reading,
      meterOff: off[index]!,
    });
    byCircuit.set(key, links);
  }
  const lanes = pool.lanes.map((lane) => ({
    lane,
    circuits: pool.devices.flatMap((device) => {
      if (pool.circuits?.has(partKey({ lane, device })) === false) return [];
      const found = byCircuit.get(partKey({ lane, device }));
      const readingsOf = found ?? (unread ? pool.chain.map(() => []) : undefined);
      return readingsOf ? [{ lane, device, readings: readingsOf }] : [];
    }),
  }));
  const { prior, sketch } = shelfOf(pool);
  return { pool, prior, sketch, lanes: lanes.filter((lane) => lane.circuits.length > 0) };
}

/** Copper from the timer to each point, out and back [Ω]. */
function wireOhmsTo(pool: ChainPool): readonly number[] {
  let sum = 0;
  return pool.chain.map(({ wireOhms }) => {
    sum += wireOhms;
    return sum;
  });
}

/** Display step of each meter [V]: the pool file's, else the finest that its readings show. */
export function displaySteps(
  pool: Pick<ChainPool, "meters">,
  readings: readonly Reading[],
): ReadonlyMap<string, number> {
  const steps = new Map<string, number>();
  for (const meter of pool.meters) {
    const shown = readings.filter((reading) => reading.meter === meter.name);
    const finest = shown.reduce((finer, { step }) => Math.min(finer, step), 0.1);
    steps.set(meter.name, meter.resolution ?? finest);
  }
  return steps;
}

/** What the walks of one pool share, kept for its next circuit or walk. */
export interface PoolShelf {
  readonly prior: ChainPrior;
  readonly sketch: PathSketch;
  readonly trees: Map<string, PanelTree>;
  readonly sound: BlockShelf;
  readonly fouled: BlockShelf;
  /** Whole meshes with their kernels, by what they were laid for. */
  readonly meshes: Map<string, Pick<CircuitModel, "mesh" | "sound" | "fouled">>;
}

function emptyShelf(pool: ChainPool): PoolShelf {
  const { sound, fouled } = pool.contact;
  const prior = chainPrior(pool);
  return {
    prior,
    sketch: pathSketch(prior, fouled),
    trees: new Map(),
    sound: blockShelf(sound),
    fouled: blockShelf(fouled),
    meshes: new Map(),
  };
}

/** Priors and kernels are the same for every walk of a pool: each pool keeps its own. */
const shelves = new WeakMap<ChainPool, PoolShelf>();
/** So many panels are kept, so many whole meshes. */
const MOST_PANELS = 400;
const MOST_MESHES = 300;

export function shelfOf(pool: ChainPool): PoolShelf {
  let shelf = shelves.get(pool);
  if (shelf === undefined || shelf.fouled.origins.size > MOST_PANELS) {
    shelf = emptyShelf(pool);
    shelves.set(pool, shelf);
  }
  if (shelf.meshes.size > MOST_MESHES) shelf.meshes.clear();
  return shelf;
}

/**
 * Lays out the mesh for one circuit, fine wherever one of its readings may put the resistance while
 * the EMF is in [low, high], and no longer than their paths; with `expected`, of full length and
 * also fine where a sound path's next reading would be.
 */
export function circuitModel(
  walk: ReadWalk,
  circuit: ReadCircuit,
  emf: EmfRange,
  shelf: PoolShelf,
  expected = false,
): CircuitModel {
  const { pool, prior } = walk;
  const readings = circuit.readings.flat();
  const first = pool.meters[0]!;
  const meters = readings.map(({ loadOhms, display }) => ({ loadOhms, noise: display.noise }));
  if (expected) meters.push({ loadOhms: first.loadOhms ?? UNIT_LOAD, noise: first.noise });
  const scale = Math.min(...meters.map(({ loadOhms }) => loadOhms)) + pool.supply.sourceOhms;
  const width = Math.min(
    ...meters.map(({ loadOhms, noise }) => (noise * loadOhms) / (pool.supply.emf * scale)),
  );
  const core = {
    low: Math.min(...emf.seeds.map((seed) => seed.emf - 5 * seed.sd)),
    high: Math.max(...emf.seeds.map((seed) => seed.emf + 5 * seed.sd)),
  };
  const found = readings.flatMap((reading) => readingFeatures(reading, scale, core));
  // Where a reading of a sound path would be: fine enough to tell what it would say.
  if (expected) found.push({ low: -2 * width, high: 2 * width, readings: 1 });
  const features = [
    ...mergeFeatures(found, width),
    ...mergeFeatures(unlikelyFeatures(readings, scale, emf, core), width),
  ];
  const treeKey = `${scale} ${width}`;
  const tree = shelf.trees.get(treeKey) ?? panelTree(scale, width);
  shelf.trees.set(treeKey, tree);
  // What a next reading would say is asked of all paths.
  const farthest = expected ? Infinity : pathEnd(walk.sketch, circuit.readings, emf);
  const end = farthest < Infinity ? onGrid(farthest / (scale + farthest), width) : 1;
  const key = JSON.stringify([treeKey, features, end]);
  let kept = shelf.meshes.get(key);
  if (kept === undefined) {
    const mesh = buildMesh(tree, features, end);
    kept = {
      mesh,
      sound: contactKernel(mesh, shelf.sound),
      fouled: contactKernel(mesh, shelf.fouled),
    };
    shelf.meshes.set(key, kept);
  }
  return { prior, readings: circuit.readings, ...kept };
}

/** The next multiple of `grid` from `u` on, at least one. */
const onGrid = (u: number, grid: number): number => Math.max(1, Math.ceil(u / grid)) * grid;

/** Where readings would put the path while the EMF is away from its modes: there, less will do. */
function unlikelyFeatures(
  readings: readonly WeighedReading[],
  scale: number,
  emf: EmfRange,
  core: { readonly low: number; readonly high: number },
): readonly Feature[] {
  if (emf.low >= core.low && emf.high <= core.high) return [];
  return readings
    .flatMap((reading) => readingFeatures(reading, scale, emf))
    .map((feature) => ({ ...feature, readings: feature.readings / 2.5 }));
}

/** Where in `u` one reading's likelihood changes: at the edges of its display step. */
function readingFeatures(
  { loadOhms, loopOhms, display }: WeighedReading,
  scale: number,
  emf: { readonly low: number; readonly high: number },
): readonly Feature[] {
  const place = (volts: number, at: number): number => {
    if (volts <= 0) return 1;
    const t = (at * loadOhms) / volts - loopOhms;
    return t / (scale + t);
  };
  const { shown, halfStep, noise } = display;
  const edge = (volts: number): Feature => ({
    low: place(volts, emf.low),
    high: place(volts, emf.high),
    readings: 1,
  });
  const upper = edge(shown + halfStep);
  if (shown === 0) return [upper];
  const lower = edge(shown - halfStep);
  if (halfStep < 2 * noise) return [{ ...upper, high: lower.high }];
  return [upper, lower];
}

/** Rounds features outward to a grid, so that like circuits share a mesh, and joins neighbours. */
function mergeFeatures(features: readonly Feature[], grid: number): readonly Feature[] {
  const rounded = features
    .map(({ low, high, readings }) => ({
      low: Math.max(-4, Math.floor(low / grid)),
      high: Math.max(-4, Math.min(Math.ceil(1 / grid), Math.ceil(high / grid))),
      readings,
    }))
    .sort((a, b) => a.low - b.low);
  const merged: { low: number; high: number; readings: number }[] = [];
  for (const feature of rounded) {
    const before = merged.at(-1);
    if (before && feature.low <= before.high) {
      before.high = Math.max(before.high, feature.high);
      before.readings += feature.readings;
    } else merged.push(feature);
  }
  return merged.map(({ low, high, readings }) => ({
    low: low * grid,
    high: high * grid,
    readings,
  }));
}
