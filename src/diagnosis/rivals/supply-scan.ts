import type { Nuisance } from "../../inference/chain/point-likelihoods.ts";
import { circuitSketch } from "../../inference/nuisance/sketch.ts";
import type { CircuitProblem, WalkProblem } from "../../inference/problem.ts";
import { logSum } from "../../numerics/log-sum.ts";
import type { Rival } from "./rival.ts";

/**
 * A supply that moves more than the model's drift lets it, while a walk goes on: whole circuits shift
 * together, and contacts that they share seem fouled. Two rivals:
 *
 *     supply-steps    E + A from some reading on, and back at a later one or never:
 *                     A ~ Normal(0, 0.1 V), every pair of places as likely, chance 0.02 a walk
 *     supply-drifts   the drift's standard deviation 10 times the model's, chance 0.02 a walk
 *
 * Where to look: the sketch of every circuit of the supply at levels of the EMF 0.01 V apart. Given a
 * level outside and one inside, a step's evidence is a sum over circuits, so that all pairs of places
 * between circuits and all amounts are summed in no time; the best one gets an exact run, and the
 * sum over the best is its `logSpread`.
 */
const PRIOR = 0.02;
const STEP_SD = 0.1;
const DRIFT_FACTOR = 10;
/** Levels of the EMF around its posterior [V]. */
const SPACING = 0.01;
const LEVELS = 71;
/** Amounts of a step, in spacings, as far as three standard deviations. */
const AMOUNTS = Array.from({ length: 31 }, (_, i) => 2 * (i - 15)).filter((x) => x !== 0);
/** Fewer circuits than this show no step between circuits. */
const FEWEST = 4;
/** Readings by which an end of the step is moved from the border between two circuits. */
const MOVES = [-3, -2, -1, 0, 1, 2, 3];

interface Scan {
  readonly walk: WalkProblem;
  readonly nuisance: Nuisance;
  readonly supply: number;
  /** Circuits of the supply, by number, in the walk's order. */
  readonly order: readonly number[];
  /** Borders between them: first reading of each, and one past the last. */
  readonly borders: readonly number[];
  /** By level, sums of the sketches of the first circuits. */
  readonly sums: readonly Float64Array[];
  readonly logPrior: readonly number[];
}

/** The rivals that a moving supply makes, with what the sketch thinks of them. */
export function movingSupply(walk: WalkProblem, nuisance: Nuisance): readonly Rival[] {
  const scan = scanOf(walk, nuisance);
  if (scan === null) return [];
  return [...driftRival(scan), ...stepRival(scan)];
}

const numbersOf = ({ readings, pressed }: CircuitProblem): readonly number[] =>
  [...readings, ...pressed].flat().map(({ index }) => index);

function scanOf(walk: WalkProblem, found: Nuisance): Scan | null {
  const fed = walk.supplies.map((_, s) => walk.circuits.filter((c) => c.supply === s).length);
  const supply = fed.indexOf(Math.max(...fed));
  const own = walk.circuits.flatMap((circuit, c) => {
    const numbers = numbersOf(circuit);
    const [first, last] = [Math.min(...numbers), Math.max(...numbers)];
    return circuit.supply === supply ? [{ c, circuit, first, last }] : [];
  });
  own.sort((a, b) => a.first - b.first);
  if (own.length < FEWEST) return null;
  const { emf, emfSd } = walk.supplies[supply]!;
  const nuisance = { ...found, drift: 0, noiseScale: Math.min(1, found.noiseScale) };
  const levels = levelsAround(found.emf[supply]!);
  const sketches = own.map(({ circuit }) => circuitSketch(walk, circuit));
  const sums = levels.map((level) => {
    const at = { ...nuisance, emf: nuisance.emf.with(supply, level) };
    const row = new Float64Array(own.length + 1);
    for (const [i, sketch] of sketches.entries()) row[i + 1] = row[i]! + sketch(at);
    return row;
  });
  return {
    order: own.map(({ c }) => c),
    borders: [...own.map(({ first }) => first), Math.max(...own.map(({ last }) => last)) + 1],
    logPrior: levels.map((level) => -0.5 * ((level - emf) / Math.max(emfSd, SPACING / 2)) ** 2),
    ...{ walk, nuisance, supply, sums },
  };
}

const levelsAround = (middle: number): readonly number[] =>
  Array.from({ length: LEVELS }, (_, k) => middle + (k - (LEVELS - 1) / 2) * SPACING);

/** ln of the evidence without a step, on the scan's own scale. */
const stillEvidence = ({ sums, logPrior }: Scan): number =>
  logSum(sums.map((row, a) => row.at(-1)! + logPrior[a]!));

function driftRival(scan: Scan): readonly Rival[] {
  const { walk, order, sums, logPrior } = scan;
  const sd = DRIFT_FACTOR * walk.driftSd;
  if (!(sd > 0)) return [];
  const n = order.length;
  const drifts = Array.from({ length: 31 }, (_, i) => i - 15).map((x) => 2 * x * SPACING);
  const evidence = (width: number): number =>
    logSum(
      drifts.flatMap((drift) =>
        sums.map((_, a) => {
          let log = logPrior[a]! - 0.5 * (drift / width) ** 2 - Math.log(width);
          for (let i = 0; i < n; i++) {
            const level = a + Math.round((drift * ((i + 0.5) / n - 0.5)) / SPACING);
            const row = sums[Math.max(0, Math.min(LEVELS - 1, level))]!;
            log += row[i + 1]! - row[i]!;
          }
          return log;
        }),
      ),
    );
  return [
    {
      kind: "supply-drifts",
      problem: { ...walk, driftSd: sd },
      logOdds: Math.log(PRIOR),
      logSpread: 0,
      logRatio: evidence(sd) - evidence(Math.max(walk.driftSd, SPACING)),
      circuit: null,
      link: null,
      other: null,
    },
  ];
}

/** Only where circuits were read one after the other: a step then lies between two of them. */
function stepRival(scan: Scan): readonly Rival[] {
  const { walk, order, borders, sums, logPrior } = scan;
  const inTurn = order.every((c, i) =>
    numbersOf(walk.circuits[c]!).every((number) => number < borders[i + 1]!),
  );
  if (!inTurn) return [];
  const n = order.length;
  const readings = borders.at(-1)! - borders[0]!;
  const logPlace = -Math.log((readings * (readings - 1)) / 2);
  const all: number[] = [];
  const logs = new Float64Array(LEVELS);
  let best = { log: Number.NEGATIVE_INFINITY, from: 0, to: 0, amount: 0, level: 0 };
  for (let from = 1; from < n; from++) {
    for (let to = from + 1; to <= n; to++) {
      for (const amount of AMOUNTS) {
        const logAmount = stepPrior(amount * SPACING) + Math.log(2 * SPACING);
        let top = Number.NEGATIVE_INFINITY;
        let level = 0;
        const least = Math.max(0, -amount);
        const end = Math.min(LEVELS, LEVELS - amount);
        for (let a = least; a < end; a++) {
          const outside = sums[a]!;
          const inside = sums[a + amount]!;
          const own = outside[n]! - outside[to]! + outside[from]! + inside[to]! - inside[from]!;
          logs[a] = logPrior[a]! + own;
          if (logs[a]! > top) {
            top = logs[a]!;
            level = a;
          }
        }
        if (top + logAmount < best.log - FAR) continue;
        let sum = 0;
        for (let a = least; a < end; a++) sum += Math.exp(logs[a]! - top);
        const log = top + Math.log(sum);
        all.push(log + logAmount + logPlace);
        if (log + logAmount > best.log) {
          best = { log: log + logAmount, from, to, amount, level };
        }
      }
    }
  }
  const amount = best.amount * SPACING;
  const there = best.log - stepPrior(amount) - Math.log(2 * SPACING);
  const total = logSum(all);
  const at = refined(scan, best.level, amount, borders[best.from]!, borders[best.to]!);
  const first = order[best.from]!;
  return [
    {
      kind: "supply-steps",
      problem: { ...walk, circuits: walk.circuits.map((one) => shifted(one, scan, at, amount)) },
      logOdds: Math.log(PRIOR),
      logSpread: total - there,
      logRatio: total - stillEvidence(scan),
      circuit: first,
      link: 0,
      other: null,
    },
  ];
}

/** A step this far under the best so far, in ln, adds nothing. */
const FAR = 25;

const stepPrior = (amount: number): number =>
  -0.5 * (amount / STEP_SD) ** 2 - Math.log(STEP_SD * Math.sqrt(2 * Math.PI));

type Stretch = readonly [from: number, to: number];

/** A circuit whose readings in a stretch of the walk saw another EMF. */
function shifted(
  circuit: CircuitProblem,
  { supply }: Scan,
  [from, to]: Stretch,
  amount: number,
): CircuitProblem {
  if (circuit.supply !== supply) return circuit;
  const moved = (rows: CircuitProblem["readings"]): CircuitProblem["readings"] =>
    rows.map((row) =>
      row.map((reading) =>
        reading.index >= from && reading.index < to ? { ...reading, emfOffset: amount } : reading,
      ),
    );
  return { ...circuit, readings: moved(circuit.readings), pressed: moved(circuit.pressed) };
}

/** Moves both ends by a few readings to where the sketch likes them best. */
function refined(scan: Scan, level: number, amount: number, from: number, to: number): Stretch {
  const { walk, nuisance, supply, order } = scan;
  const emf = levelsAround(nuisance.emf[supply]!)[level]!;
  const at = { ...nuisance, emf: nuisance.emf.with(supply, emf) };
  const score = (stretch: Stretch): number =>
    order.reduce(
      (sum, c) => sum + circuitSketch(walk, shifted(walk.circuits[c]!, scan, stretch, amount))(at),
      0,
    );
  const better = (a: Stretch, b: Stretch): Stretch => (score(b) > score(a) ? b : a);
  const begun = MOVES.map((by): Stretch => [from + by, to]).reduce(better);
  const last = scan.borders.at(-1)!;
  return MOVES.map((by): Stretch => [begun[0], Math.min(last, to + by)]).reduce(better);
}
