import { type Guide, guidedDraw, inSeries, logNormalAt } from "./guided-draws.ts";
import { type Shunt, shownOnLadder } from "./ladder-network.ts";
import { type Leaf, shuntLaws } from "./path-states.ts";
import type { Circuit, Taken, Walk } from "./read-circuits.ts";
import { readRight, type Showing } from "./shown-chance.ts";

/** The numbers that all circuits of a walk share. */
export interface Shared {
  /** EMF in the middle of the walk, and source resistance, of each supply. */
  readonly emf: readonly number[];
  readonly source: readonly number[];
  /** Volts that the supply gains from the first to the last reading. */
  readonly drift: number;
  readonly tau: number;
  /** Load of each meter [ohm]. */
  readonly load: readonly number[];
}

/** Draws of one circuit's resistances at one set of shared numbers, for each of its leaves. */
export interface LeafDraws {
  readonly count: number;
  /** Model density over drawing density; [leaf * count + draw]. */
  readonly weight: Float64Array;
  /** Chance of each reading with its display on, and of what is neither misread nor a bad moment. */
  readonly chance: Float64Array;
  readonly face: Float64Array;
  /** Resistances of the links in front of the first open one; the rest is not set. */
  readonly ohms: Float64Array;
  /** 1 where the path is over its limit. */
  readonly under: Uint8Array;
}

const emptyDraws = (leaves: number, count: number, circuit: Circuit): LeafDraws => ({
  count,
  weight: new Float64Array(leaves * count),
  chance: new Float64Array(leaves * count * circuit.readings.length),
  face: new Float64Array(leaves * count * circuit.readings.length),
  ohms: new Float64Array(leaves * count * circuit.path.length),
  under: new Uint8Array(leaves * count),
});

const shuntMixtures = {
  closed: [{ share: 1, ...shuntLaws.closed }],
  water: [{ share: 1, ...shuntLaws.water }],
};

const badWhenMoved = 0.7;
export const openInBadMoment = 0.3;
/** How widely draws look around a reading, in its own noise. */
const looking = 1.5;
const soundGuess = 0.2;

/** What the meter and the walk make of a reading. */
export const showingOf = (walk: Walk, circuit: Circuit, { volts, meter }: Taken): Showing => {
  const { resolution, noise } = walk.facility.meters[meter]!;
  const nominal = walk.facility.supplies[circuit.supply]!.emf;
  const { misread, tails } = walk.model;
  const stray = (misread * resolution) / (1.1 * nominal);
  return { volts, step: resolution, noise, tails, misread, stray };
};

const sumOf = (values: readonly number[], from: number, to: number): number => {
  let sum = 0;
  for (let k = from; k < to; k++) sum += values[k]!;
  return sum;
};

/** What one reading sees at one set of shared numbers. */
interface Seen {
  readonly emf: number;
  readonly source: number;
  readonly load: number;
  readonly noise: number;
}

/** Draws one circuit's resistances; `this.u[axis]!` is the draw's coordinate on that axis. */
export class LeafSampler {
  private readonly walk: Walk;
  private readonly circuit: Circuit;
  private readonly leaves: readonly Leaf[];
  private readonly showings: readonly Showing[];
  private readonly pressed: boolean;
  /** Readings that guide the draw of link k's resistance; those at the next two read points. */
  private readonly ahead: readonly (readonly number[])[];
  private seen: readonly Seen[] = [];
  private into: LeafDraws | null = null;
  /** The draw in hand: its coordinates, and what each contact has when sound. */
  private readonly u: Float64Array;
  private readonly soundOhms: Float64Array;

  constructor(walk: Walk, circuit: Circuit, leaves: readonly Leaf[]) {
    this.walk = walk;
    this.circuit = circuit;
    this.leaves = leaves;
    this.showings = circuit.readings.map((reading) => showingOf(walk, circuit, reading));
    this.u = new Float64Array(this.axes);
    this.soundOhms = new Float64Array(circuit.path.length);
    this.pressed = circuit.readings.some(({ state }) => state === "pressed");
    this.ahead = circuit.path.map((_, k) => {
      const resting = circuit.readings.filter(({ at, state }) => at >= k && state !== "pressed");
      const points = [...new Set(resting.map(({ at }) => at))].sort((a, b) => a - b).slice(0, 2);
      return circuit.readings.flatMap((reading, j) =>
        resting.includes(reading) && points.includes(reading.at) ? [j] : [],
      );
    });
  }

  /** Coordinates that one draw needs. */
  get axes(): number {
    return 2 * this.circuit.path.length + 4 + 2 * this.circuit.readings.length;
  }

  private guide(j: number, before: number, between: number): Guide {
    const { emf, load, noise } = this.seen[j]!;
    const { volts } = this.showings[j]!;
    return { volts, width: looking * noise, emf, before, load, between };
  }

  /** What the readings ahead say about a fouled contact at link k, `sum` ohms down the path. */
  private guidesFor(k: number, last: number, sum: number): Guide[] {
    const { path, readings } = this.circuit;
    const guides: Guide[] = [];
    for (const j of this.ahead[k]!) {
      const { at } = readings[j]!;
      if (at > last) continue;
      let before = this.seen[j]!.source + sum + soundGuess * (at - k);
      for (let i = k; i <= at; i++) before += path[i]!.wire;
      guides.push(this.guide(j, before, inSeries));
    }
    return guides;
  }

  /** Draws the resistances of a leaf's finite links into `series` (wires included). */
  private drawSeries(leaf: Leaf, series: number[], ohms: Float64Array, offset: number): number {
    const { path } = this.circuit;
    const last = leaf.finite.length - 1;
    let weight = 1;
    let sum = 0;
    for (let k = 0; k <= last; k++) {
      let r: number;
      if (leaf.finite[k] === "f") {
        const guides = this.guidesFor(k, last, sum);
        const draw = guidedDraw(this.walk.fouled, guides, this.u[path.length + k]!, this.u[k]!);
        weight *= draw.weight;
        r = draw.ohms;
      } else r = this.soundOhms[k]!;
      ohms[offset + k] = r;
      series.push(path[k]!.wire + r);
      sum += path[k]!.wire + r;
    }
    if (leaf.cut) series.push(Number.POSITIVE_INFINITY);
    return weight;
  }

  /** Draws what conducts at point `at`, guided by readings of the one kind or the other. */
  private drawShunt(
    law: "closed" | "water",
    at: number,
    series: readonly number[],
    byPressed: boolean,
    which: number,
    u: number,
  ) {
    const guides: Guide[] = [];
    const { readings } = this.circuit;
    for (let j = 0; j < readings.length; j++) {
      const reading = readings[j]!;
      if (reading.at > at || (reading.state === "pressed") !== byPressed) continue;
      const before = this.seen[j]!.source + sumOf(series, 0, reading.at + 1);
      guides.push(this.guide(j, before, sumOf(series, reading.at + 1, at + 1)));
    }
    return guidedDraw(shuntMixtures[law], guides, which, u);
  }

  /** One draw of one leaf. */
  private drawLeaf(index: number, into: LeafDraws, slot: number): void {
    const leaf = this.leaves[index]!;
    const { path, readings, limitOhms } = this.circuit;
    const series: number[] = [];
    const axis = 2 * path.length;
    let weight = this.drawSeries(leaf, series, into.ohms, slot * path.length);
    const shunts: Shunt[] = [];
    if (leaf.shunt) {
      const { law, at } = leaf.shunt;
      const draw = this.drawShunt(law, at, series, false, this.u[axis]!, this.u[axis + 1]!);
      weight *= draw.weight;
      shunts.push({ at, ohms: draw.ohms });
    }
    let pressed = shunts;
    if (this.pressed && !leaf.cut) {
      const at = path.length - 1;
      const draw = this.drawShunt("closed", at, series, true, this.u[axis + 2]!, this.u[axis + 3]!);
      weight *= draw.weight;
      pressed = [...shunts, { at, ohms: draw.ohms }];
    }
    into.weight[slot] = weight;
    into.under[slot] = limitOhms !== null && sumOf(series, 0, series.length) > limitOhms ? 1 : 0;
    for (let j = 0; j < readings.length; j++) {
      const across = readings[j]!.state === "pressed" ? pressed : shunts;
      this.chanceOf(j, leaf, series, across, into, slot);
    }
  }

  private voltsOf(j: number, series: readonly number[], across: readonly Shunt[]): number {
    const { emf, source, load } = this.seen[j]!;
    const { at } = this.circuit.readings[j]!;
    if (across.length > 0) return shownOnLadder(emf, source, series, at, load, across);
    return (emf * load) / (load + source + sumOf(series, 0, at + 1));
  }

  /** The chance of reading j on this draw's path, with its display on. */
  private chanceOf(
    j: number,
    leaf: Leaf,
    series: readonly number[],
    across: readonly Shunt[],
    into: LeafDraws,
    slot: number,
  ): void {
    const { readings } = this.circuit;
    const reading = readings[j]!;
    const showing = this.showings[j]!;
    const { noise } = this.seen[j]!;
    const cutOff = reading.at >= leaf.finite.length;
    const volts = cutOff ? 0 : this.voltsOf(j, series, across);
    let face = readRight(showing, noise, volts);
    let bad = 0;
    const loose = leaf.finite.indexOf("i");
    if (loose >= 0 && reading.at >= loose) {
      const often = reading.state === "moved" ? badWhenMoved : this.walk.model.bad_share;
      const nothing = readRight(showing, noise, 0);
      const fresh = cutOff ? nothing : this.inBadMoment(j, loose, series, across);
      bad = often * ((1 - openInBadMoment) * fresh + openInBadMoment * nothing);
      face *= 1 - often;
    }
    const out = slot * readings.length + j;
    into.face[out] = face;
    into.chance[out] = face + bad + showing.stray;
  }

  /** The chance of reading j, not misread, with a fresh fouled resistance in series at `loose`. */
  private inBadMoment(
    j: number,
    loose: number,
    series: readonly number[],
    across: readonly Shunt[],
  ): number {
    const { path, readings } = this.circuit;
    const { at, state } = readings[j]!;
    const axis = 2 * path.length + 4 + 2 * j;
    const before = this.seen[j]!.source + sumOf(series, 0, at + 1);
    const guides = state === "pressed" ? [] : [this.guide(j, before, inSeries)];
    const x = guidedDraw(this.walk.fouled, guides, this.u[axis]!, this.u[axis + 1]!);
    const worse = [...series];
    worse[loose]! += x.ohms;
    return (
      x.weight * readRight(this.showings[j]!, this.seen[j]!.noise, this.voltsOf(j, worse, across))
    );
  }

  /** Draws the leaves that are in use; the answer stands until the next call. */
  draw(
    shared: Shared,
    used: readonly number[],
    count: number,
    uniform: (draw: number, axis: number) => number,
  ): LeafDraws {
    if (this.into?.count !== count) {
      this.into = emptyDraws(this.leaves.length, count, this.circuit);
    }
    const { into } = this;
    const { readings, supply } = this.circuit;
    this.seen = readings.map(({ when, meter }, j) => ({
      emf: shared.emf[supply]! + shared.drift * when,
      source: shared.source[supply]!,
      load: shared.load[meter]!,
      noise: shared.tau * this.showings[j]!.noise,
    }));
    for (let m = 0; m < into.count; m++) {
      for (let axis = 0; axis < this.u.length; axis++) this.u[axis] = uniform(m, axis);
      for (let k = 0; k < this.soundOhms.length; k++) {
        this.soundOhms[k] = logNormalAt(this.walk.sound, this.u[k]!);
      }
      for (const leaf of used) this.drawLeaf(leaf, into, leaf * into.count + m);
    }
    return into;
  }
}
