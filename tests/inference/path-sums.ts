import type {
  CircuitProblem,
  LinkProblem,
  ReadingProblem,
  StateChances,
  WalkProblem,
} from "../../src/inference/problem.ts";
import {
  type Fineness,
  type Leaf,
  leavesOf,
  lessChance,
  loopShown,
  placesOf,
  type SharedPlace,
  STATES,
  seriesShown,
  shownChance,
} from "./path-leaves.ts";

/** What a circuit's leaves come to at one place of the shared numbers; joint with its readings. */
export interface PathSums {
  likelihood: number;
  /** By link, by state. */
  readonly states: number[][];
  /** The path is over its limit, or open. */
  beyond: number;
  /** By link: weight by ohm, open contacts left out. */
  readonly ohms: Map<number, number>[];
  /** By link: volts that its contact takes from a first reading of the circuit put there, no drift. */
  readonly voltsLost: number[];
  /** By reading, while its display is on. */
  readonly readings: Map<number, ReadingSums>;
}

/** Of the others alone; of them and that this one shows less, what it shows, and in a bad moment. */
interface ReadingSums {
  others: number;
  less: number;
  same: number;
  badMoment: number;
}

/** How a circuit came about, where there is a choice. */
export interface Cause {
  readonly chances: (link: number) => StateChances;
  /** Readings whose display was off. */
  readonly off?: readonly number[];
  /** Something conducts behind this link, of so many ohms. */
  readonly across?: { readonly link: number; readonly ohms: number };
}

/** Sums over leaves of which each has the product of its readings' chances for a weight. */
export function pathSums(
  walk: WalkProblem,
  circuit: CircuitProblem,
  place: SharedPlace,
  { chances, off = [], across }: Cause,
  fineness: Fineness,
): PathSums {
  const { links, limitOhms } = circuit;
  const all = circuit.readings.flatMap((row, link) => row.map((reading) => ({ reading, link })));
  const seen = all.filter(({ reading }) => !off.includes(reading.index));
  const places = placesOf(walk.badMoments.law, fineness.fouled);
  const nominal = walk.supplies[circuit.supply]!.emf;
  const { noiseScale } = place;
  const sums = emptySums(circuit);
  const probe = { ...(all[0]?.reading ?? circuit.pressed.flat()[0]!), order: 0 };
  const end = links.length - 1;
  const isPressed = circuit.pressed.flat().length > 0;
  const closed = placesOf([{ share: 1, medianOhms: 2, logSd: 1 }], fineness.closed ?? 31);
  for (const leaf of leavesOf(circuit, chances, fineness)) {
    const loop = across === undefined ? null : place.source + leaf.upTo[across.link]! + across.ohms;
    const shown = (reading: ReadingProblem, link: number, series: number): number =>
      loop === null || loop === Number.POSITIVE_INFINITY
        ? seriesShown(place, reading, series)
        : loopShown(
            place,
            reading,
            loop,
            series,
            link > across!.link ? leaf.upTo[across!.link]! : null,
          );
    /** Equation (9), and of it what is a bad moment. */
    const over = (reading: ReadingProblem, link: number, chance: (volts: number) => number) => {
      const series = leaf.upTo[link]!;
      const plain = chance(shown(reading, link, series));
      if (series === Number.POSITIVE_INFINITY || !leaf.shaky[link]) return { all: plain, bad: 0 };
      const mean = places.reduce(
        (sum, { ohms, weight }) => sum + weight * chance(shown(reading, link, series + ohms)),
        0,
      );
      const { fouled } = walk.badMoments;
      const bad = reading.badMoment * (fouled * mean + (1 - fouled) * chance(0));
      return { all: (1 - reading.badMoment) * plain + bad, bad };
    };
    const own = seen.map(({ reading, link }) => {
      const one = over(reading, link, (volts) => shownChance(reading, volts, noiseScale));
      const less = over(reading, link, (volts) => lessChance(reading, volts, noiseScale, nominal));
      const bad = leaf.shaky[link] && one.bad > 0 ? one.bad - reading.badMoment * reading.floor : 0;
      return { p: one.all, less: less.all, bad };
    });
    const pressed = (isPressed ? closed : NOTHING).reduce((sum, { ohms, weight }) => {
      const likely = circuit.pressed.flatMap((row, k) =>
        row.map((reading) => {
          const series = leaf.upTo[k]!;
          const through = place.source + leaf.upTo[end]! + ohms;
          const volts =
            through === Number.POSITIVE_INFINITY
              ? seriesShown(place, reading, series)
              : loopShown(place, reading, through, series, null);
          return shownChance(reading, volts, noiseScale);
        }),
      );
      return sum + weight * likely.reduce((product, p) => product * p, 1);
    }, 0);
    const whole = own.reduce((product, { p }) => product * p, leaf.weight * pressed);
    sums.likelihood += whole;
    if (limitOhms !== null && leaf.upTo[end]! > limitOhms) sums.beyond += whole;
    for (const [k, state] of leaf.states.entries()) {
      sums.states[k]![STATES.indexOf(state)]! += whole;
      const before = (k === 0 ? 0 : leaf.upTo[k - 1]!) + links[k]!.wireOhms;
      sums.voltsLost[k]! += whole * (shown(probe, k, before) - shown(probe, k, leaf.upTo[k]!));
      for (const at of ohmsOf(leaf, links[k]!, k)) more(sums.ohms[k]!, at.ohms, whole * at.weight);
    }
    for (const [j, { reading }] of seen.entries()) {
      const others = whole / own[j]!.p;
      const to = sums.readings.get(reading.index)!;
      to.others += others;
      to.less += others * own[j]!.less;
      to.same += whole;
      to.badMoment += others * own[j]!.bad;
    }
  }
  return sums;
}

export const emptySums = ({ links, readings }: CircuitProblem): PathSums => ({
  likelihood: 0,
  states: links.map(() => STATES.map(() => 0)),
  beyond: 0,
  ohms: links.map(() => new Map()),
  voltsLost: links.map(() => 0),
  readings: new Map(
    readings.flat().map(({ index }) => [index, { others: 0, less: 0, same: 0, badMoment: 0 }]),
  ),
});

/** Adds sums, so many times. */
export function addSums(to: PathSums, own: PathSums, times: number): void {
  to.likelihood += times * own.likelihood;
  to.beyond += times * own.beyond;
  for (const [k, states] of own.states.entries()) {
    for (const [x, p] of states.entries()) to.states[k]![x]! += times * p;
    to.voltsLost[k]! += times * own.voltsLost[k]!;
    for (const [ohms, weight] of own.ohms[k]!) more(to.ohms[k]!, ohms, times * weight);
  }
  for (const [index, { others, less, same, badMoment }] of own.readings) {
    const sums = to.readings.get(index)!;
    sums.others += times * others;
    sums.less += times * less;
    sums.same += times * same;
    sums.badMoment += times * badMoment;
  }
}

const more = (to: Map<number, number>, ohms: number, weight: number): void => {
  to.set(ohms, (to.get(ohms) ?? 0) + weight);
};

/** A contact's resistance, by its law where nothing was seen of it, with weights. */
function ohmsOf(
  { own, upTo, states }: Leaf,
  { sound, fouled }: LinkProblem,
  k: number,
): ReturnType<typeof placesOf> {
  if (own[k] === Number.POSITIVE_INFINITY) return [];
  if (upTo[k] !== Number.POSITIVE_INFINITY) return [{ ohms: own[k]!, weight: 1 }];
  return placesOf(states[k] === "fouled" ? fouled : sound, UNSEEN);
}

const UNSEEN = 61;
const NOTHING = [{ ohms: 0, weight: 1 }];

/** The quantile of weighed numbers between which a density goes on; `open` times it is infinite. */
export function weighedQuantile(
  weighed: ReadonlyMap<number, number>,
  open: number,
  p: number,
): number {
  const rising = [...weighed].sort(([a], [b]) => a - b);
  const total = rising.reduce((sum, [, weight]) => sum + weight, open);
  let [sum, before] = [0, { value: Number.NEGATIVE_INFINITY, at: 0 }];
  for (const [value, weight] of rising) {
    const at = sum + weight / 2;
    if (at >= p * total) {
      const part = (p * total - before.at) / (at - before.at);
      return before.at === 0 ? value : before.value + part * (value - before.value);
    }
    sum += weight;
    before = { value, at };
  }
  return Number.POSITIVE_INFINITY;
}
