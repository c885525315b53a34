import { filmPart, type LogNormal } from "../../src/domain/pool.ts";
import type { Reading } from "../../src/domain/reading.ts";
import type { TestPool as Pool } from "../plain-pool.ts";
import { bodyCombinations, stateChance } from "./body-states.ts";
import { type ReadCircuit, readCircuits } from "./circuit-table.ts";
import { emfPrior } from "./emf-grid.ts";
import { normalDensity } from "./normal.ts";

/**
 * The evidence of one walk in one lane by dense quadrature, its first circuit's device a known or
 * unknown resistance across the line: every contact and the loop's resistance on even grids of
 * their logarithm, states and bodies by enumeration, the EMF by the trapezoidal rule. Written from
 * the model alone, to judge the diagnosis' own integration by.
 */
export interface Grid {
  /** EMF [V]: first, last, how many. */
  readonly emf: readonly [number, number, number];
  /** Steps of ln(contact resistance) in its standard deviations. */
  readonly sound: number;
  readonly fouled: number;
  /** How many steps of ln(contacts and device together). */
  readonly loops: number;
  /** Where that logarithm is looked at, if not everywhere [Ω]. */
  readonly rest?: readonly [number, number];
}

interface Step {
  readonly ohms: number;
  readonly weight: number;
}

const gridOf = ({ medianOhms, logSd }: LogNormal, step: number): Step[] => {
  const count = Math.round(11 / step);
  return Array.from({ length: count + 1 }, (_, i) => {
    const z = -5.5 + i * step;
    return { ohms: medianOhms * Math.exp(logSd * z), weight: normalDensity(z) * step };
  });
};

/** A prefix of less weight than this is not followed on. */
const negligible = 1e-12;

/** Integrals by finite states of the contacts passed: [depth][bit k set where contact k is fouled]. */
type ByStates = Float64Array[];

/** One circuit at one EMF; `loop` is infinite where nothing stands across the line. */
const walkTree = (
  pool: Pool,
  circuit: ReadCircuit,
  grids: readonly [Step[], Step[]],
  emf: number,
  loop: number,
  end: (contacts: number) => number,
  least: number,
): ByStates => {
  const depth = pool.chain.length;
  const sums = Array.from({ length: depth + 1 }, (_, k) => new Float64Array(2 ** k));
  const go = (k: number, x: number, contacts: number, fouled: number, weight: number): void => {
    sums[k]![fouled]! += k < depth ? weight : weight * end(contacts);
    if (k === depth) return;
    for (const state of [0, 1] as const) {
      for (const { ohms, weight: share } of grids[state]) {
        const here = x + pool.chain[k]!.wireOhms + ohms;
        let next = weight * share;
        for (const { table, perVolt, loadOhms } of circuit.readings[k] ?? []) {
          const beyond = loop - here;
          const beside = beyond > 0 ? 1 / (1 / loadOhms + 1 / beyond) : 0;
          const place = ((emf * beside) / (here + beside)) * perVolt;
          const cell = Math.floor(place);
          next *= table[cell]! + (place - cell) * (table[cell + 1]! - table[cell]!);
        }
        if (next > least) go(k + 1, here, contacts + ohms, fouled | (state << k), next);
      }
    }
  };
  go(0, pool.supply.sourceOhms, 0, 0, 1);
  return sums;
};

const addTo = (sums: ByStates, part: ByStates): void => {
  for (const [k, row] of sums.entries()) {
    for (let f = 0; f < row.length; f++) row[f]! += part[k]![f]!;
  }
};

const chanceOf = (pool: Pool, depth: number, fouled: number, mask: number): number => {
  let chance = 1;
  for (let k = 0; k < depth; k++) {
    chance *= stateChance(pool, k, mask, (fouled >> k) & 1 ? "fouled" : "sound");
  }
  return chance;
};

/** P(readings | bodies), all contacts finite. */
const finite = (pool: Pool, sums: ByStates, mask: number): number => {
  const depth = pool.chain.length;
  return sums[depth]!.reduce((sum, part, f) => sum + part * chanceOf(pool, depth, f, mask), 0);
};

/** P(readings | bodies), some contact open: nothing behind it matters. */
const opened = (pool: Pool, circuit: ReadCircuit, sums: ByStates, mask: number): number => {
  let total = 0;
  for (let k = 0; k < pool.chain.length; k++) {
    const open = stateChance(pool, k, mask, "open") * (circuit.zeroFrom[k] ?? 1);
    sums[k]!.forEach((part, f) => {
      total += part * chanceOf(pool, k, f, mask) * open;
    });
  }
  return total;
};

/** ln P(readings), the first circuit's device as given; null: it rests as it should. */
export const deviceLogEvidence = (
  pool: Pool,
  readings: readonly Reading[],
  device: LogNormal | null,
  grid: Grid,
): number => {
  const circuits = readCircuits(pool, readings);
  const grids = [
    gridOf(pool.contact.sound, grid.sound),
    gridOf(filmPart(pool.contact), grid.fouled),
  ] as const;
  const fixed = pool.chain.reduce<number>(
    (sum, { wireOhms }) => sum + wireOhms,
    pool.supply.sourceOhms,
  );
  const series = (circuit: ReadCircuit, emf: number): ByStates =>
    walkTree(pool, circuit, grids, emf, Number.POSITIVE_INFINITY, () => 1, negligible);
  const shunted = (circuit: ReadCircuit, emf: number, ofDevice: LogNormal): ByStates => {
    const { medianOhms, logSd } = ofDevice;
    const [first, last] = grid.rest ?? [
      medianOhms * Math.exp(-5 * logSd),
      medianOhms * Math.exp(5 * logSd) + 20000,
    ];
    const h = Math.log(last / first) / grid.loops;
    let sums: ByStates | null = null;
    for (let i = 0; i <= grid.loops; i++) {
      const rest = first * Math.exp(i * h);
      const end = (contacts: number): number => {
        const ohms = rest - contacts;
        if (ohms <= 0) return 0;
        const z = Math.log(ohms / medianOhms) / logSd;
        return (normalDensity(z) * rest * h) / (ohms * logSd);
      };
      const part = walkTree(pool, circuit, grids, emf, fixed + rest, end, negligible);
      if (sums === null) sums = part;
      else addTo(sums, part);
    }
    return sums!;
  };
  const [low, high, count] = grid.emf;
  const step = (high - low) / (count - 1);
  const heights = Array.from({ length: count }, (_, n) => {
    const emf = low + n * step;
    const tables = circuits.map((circuit) => series(circuit, emf));
    const loops = device === null ? tables[0]! : shunted(circuits[0]!, emf, device);
    const likelihood = (c: number, mask: number): number =>
      opened(pool, circuits[c]!, tables[c]!, mask) +
      finite(pool, c === 0 ? loops : tables[c]!, mask);
    let total = 0;
    for (const shared of bodyCombinations(pool, "pool")) {
      for (const own of bodyCombinations(pool, "lane")) {
        const mask = shared.mask | own.mask;
        total += circuits.reduce(
          (product, _, c) => product * likelihood(c, mask),
          shared.probability * own.probability,
        );
      }
    }
    return total * emfPrior(pool, emf) * step;
  });
  const total = heights.reduce((sum, h) => sum + h, 0);
  const left = Math.max(heights[0]!, heights.at(-1)!);
  if (left > 1e-4 * total) throw new Error("the EMF's grid ends too early");
  return Math.log(total);
};
