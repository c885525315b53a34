import { sourceBehind } from "../../circuit/conducting.ts";
import { type Ohms, ohms, volts } from "../../domain/units.ts";
import { type CircuitModel, circuitModel, type Shelf } from "../chain/circuit-model.ts";
import type { NuisanceRange } from "../chain/features.ts";
import { lagrangeBasis, NODES, RULE } from "../chain/mesh.ts";
import { backward, type Messages } from "../chain/messages.ts";
import {
  type Nuisance,
  type PointLikelihoods,
  pointLikelihoods,
  seriesVolts,
  type VoltsAt,
} from "../chain/point-likelihoods.ts";
import { pressedAtEnd, pressedEnd } from "../chain/pressed.ts";
import type { CircuitProblem, WalkProblem } from "../problem.ts";

/** The chain behind a link, for whatever source a leak there makes of the supply; null: none is left. */
export function modelBehind(
  walk: WalkProblem,
  shelf: Shelf,
  circuit: CircuitProblem,
  link: number,
  range: NuisanceRange,
  nuisance: Nuisance,
): CircuitModel | null {
  if (link + 1 >= circuit.links.length) return null;
  const sub: CircuitProblem = {
    ...circuit,
    conducting: [],
    links: circuit.links.slice(link + 1),
    readings: circuit.readings.slice(link + 1),
    pressed: circuit.pressed.slice(link + 1),
  };
  return circuitModel(walk, sub, sourceRange(circuit, link, range, nuisance), shelf);
}

/** What a leak leaves of the supply: what was read there says within little. */
function sourceRange(
  { supply, readings }: CircuitProblem,
  link: number,
  range: NuisanceRange,
  nuisance: Nuisance,
): NuisanceRange {
  const [, highest] = range.emf[supply]!;
  const shown = readings[link]!.map((reading) => reading.shown);
  const s = 6 * Math.max(0, ...readings[link]!.map(({ noise }) => noise * nuisance.noiseScale));
  const low = shown.length > 0 ? Math.max(0.02, Math.min(...shown) - s) : 0.3 * highest;
  const high = shown.length > 0 ? Math.min(highest, 1.03 * (Math.max(...shown) + s)) : highest;
  return {
    ...range,
    emf: range.emf.map((all, k) => (k === supply ? ([low, high] as const) : all)),
    sourceOhms: range.sourceOhms.map((all, k) => (k === supply ? ([0, 10] as const) : all)),
  };
}

/** The chain behind a leak with its messages. */
export interface ChainBehind {
  readonly model: CircuitModel;
  readonly points: PointLikelihoods;
  readonly messages: Messages;
  readonly voltsAt: VoltsAt;
}

/** A leak as a source of its own, and what it makes of the readings behind it, by suffix. */
export interface LeakSource {
  readonly emf: number;
  readonly ohms: number;
  readonly values: Float64Array;
}

/**
 * What lies behind a leak, at one value of the shared numbers, as a function of the path up to it.
 *
 * Readings there see the leak as a source of their own, and hardly more of it than what it would show
 * on a path without resistance, y = E' R_L / (R_L + R_s'): a table over y, in panels across which no
 * likelihood varies much, is laid where it is asked for.
 */
export class BehindLeak {
  readonly model: CircuitModel;
  /** Whether anything was read there. */
  readonly isRead: boolean;
  readonly #nuisance: Nuisance;
  /** Readings whose display was off. */
  readonly off: ReadonlySet<number>;
  readonly #load: number;
  readonly #span: number;
  readonly #panels = new Map<number, readonly LeakSource[]>();
  readonly #basis = new Float64Array(NODES);

  constructor(model: CircuitModel, nuisance: Nuisance, off: ReadonlySet<number>) {
    const { circuit } = model;
    const readings = circuit.readings.flat();
    const emf = nuisance.emf[circuit.supply]!;
    const noise = Math.min(...readings.map((one) => one.noise)) * nuisance.noiseScale;
    const first = readings[0] ?? circuit.pressed.flat()[0];
    this.isRead = readings.length + pressedAtEnd(circuit).length > 0;
    [this.model, this.#nuisance, this.off] = [model, nuisance, off];
    this.#load = first === undefined ? Number.POSITIVE_INFINITY : nuisance.loadOhms[first.meter]!;
    this.#span = PANEL * Math.min(noise, 0.05 * emf);
  }

  /**
   * The sources whose values, each times its part, make those for a path of `before` up to the leak
   * and this loop. The parts stand in one array for all calls.
   */
  partsAt(
    before: Ohms,
    loop: number,
  ): { readonly sources: readonly LeakSource[]; readonly parts: Float64Array } {
    const { supply } = this.model.circuit;
    const source = sourceBehind(volts(this.#nuisance.emf[supply]!), before, ohms(loop));
    const passed = 1 / (1 + source.ohms / this.#load);
    const shown = source.emf * passed;
    // What nobody read is the same behind any source.
    const number = this.isRead ? Math.floor(shown / this.#span) : 0;
    let sources = this.#panels.get(number);
    if (sources === undefined) {
      const places = this.isRead
        ? Array.from(RULE.nodes, (x) => (number + (1 + x) / 2) * this.#span)
        : [shown];
      sources = places.map((y) => this.#sourceOf(y / passed, source.ohms));
      this.#panels.set(number, sources);
    }
    if (!this.isRead) this.#basis.fill(0)[0] = 1;
    else {
      const panel = { low: number * this.#span, high: (number + 1) * this.#span };
      lagrangeBasis(panel, shown, this.#basis);
    }
    return { sources, parts: this.#basis };
  }

  /** P(the readings behind it), by suffix. */
  valuesAt(before: Ohms, loop: number): Float64Array {
    const { sources, parts } = this.partsAt(before, loop);
    return sources[0]!.values.map((_, q) => valueBehind(sources, parts, q));
  }

  /** The chain behind it, fed by one source. */
  wayFrom({ emf, ohms: own }: Pick<LeakSource, "emf" | "ohms">): ChainBehind {
    const { circuit, shape, mesh, kernels } = this.model;
    const { supply } = circuit;
    const { noiseScale, ...all } = this.#nuisance;
    const share = emf / all.emf[supply]!;
    const there: Nuisance = {
      noiseScale,
      ...all,
      emf: all.emf.with(supply, emf),
      drift: all.drift * share,
      passed: (all.passed ?? 1) * share,
      sourceOhms: all.sourceOhms.with(supply, own),
    };
    const voltsAt = seriesVolts(circuit, there);
    const points = pointLikelihoods(mesh, circuit.readings, voltsAt, noiseScale, this.off, null);
    const end = pressedEnd(circuit, shape.links.at(-1)!.suffixes, mesh, there);
    const messages = backward(shape, kernels, points, mesh.t.length, end);
    return { model: this.model, points, messages, voltsAt };
  }

  #sourceOf(emf: number, own: number): LeakSource {
    const { likelihood, logScale } = this.wayFrom({ emf, ohms: own }).messages;
    const scale = Math.exp(logScale);
    return { emf, ohms: own, values: likelihood.map((x) => x * scale) };
  }
}

/** What the parts of the sources make of the readings behind them, for one suffix. */
export function valueBehind(
  sources: readonly LeakSource[],
  parts: Float64Array,
  suffix: number,
): number {
  let sum = 0;
  for (let k = 0; k < sources.length; k++) sum += parts[k]! * sources[k]!.values[suffix]!;
  return Math.max(0, sum);
}

/** Width of a table's panel, in standard deviations of the finest reading. */
const PANEL = 4;

const known = new WeakMap<CircuitModel, WeakMap<Nuisance, Map<string, BehindLeak>>>();

/** The same table for every loop. */
export function behindLeak(
  model: CircuitModel,
  nuisance: Nuisance,
  off: readonly number[],
): BehindLeak {
  const own = known.get(model) ?? new WeakMap<Nuisance, Map<string, BehindLeak>>();
  known.set(model, own);
  const byOff = own.get(nuisance) ?? new Map<string, BehindLeak>();
  own.set(nuisance, byOff);
  const key = off.join(" ");
  const one = byOff.get(key) ?? new BehindLeak(model, nuisance, new Set(off));
  byOff.set(key, one);
  return one;
}
