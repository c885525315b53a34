/**
 * The model on two contacts, written out plainly and apart from the program: no panels, no messages, no
 * clever rules, only sums over grids that anybody can repeat in a spreadsheet. The program's answers
 * stand beside it in the notebook.
 */
import { openPool, readSheet } from "../src/analyze.ts";
import { normalCdfFast as normalCdf } from "../src/numerics/normal-table.ts";
import { diagnose } from "../src/rooms/diagnosis-room.ts";

export { loopVolts, sourceBehind } from "../src/circuit/conducting.ts";
export { stretchesOf } from "../src/inference/zero-runs.ts";
export { chart, ink } from "../src/report/charts/theme.ts";
export { showChart } from "../src/report/notebook-display.ts";
export {
  contactOhmsBetween,
  pathLadder,
  readingVolts,
  timerInputVolts,
} from "../src/rooms/circuit-room.ts";
export { ohms, volts } from "../src/rooms/domain-room.ts";

/** The pool of two contacts: what would need a sum of its own is switched off. */
const poolFile = `pool: Two contacts
lanes: 1
devices: [touchpad]
supply: { emf: 5.0, emf_sd: 0.05, source_ohms: 0 }
meters: [{ name: deck, load_ohms: 1000, resolution: 0.01, noise: 0.02 }]
limit: { volts: 4.8, meter: deck }
model: { noise_log_sd: 0, drift_sd: 0, stuck: 0, leaking: 0, wet_leak: 0 }
chain:
  - { point: plate, connector: plate connector, class: plate, shared_by: lane, wire_ohms: 2.0 }
  - { point: pod, connector: pod terminals, class: pod, shared_by: device, wire_ohms: 0.3 }
`;

/** The program's answer to two readings, the model alone: no rivals averaged in. */
export function byProgram(plate: number, pod: number) {
  const read = openPool(poolFile);
  if (!read.ok) throw new Error(read.error.map(({ message }) => message).join("; "));
  const sheet = `lane,point,volts\n1,plate,${plate}\n1,pod,${pod}\n`;
  return diagnose(read.value, readSheet(sheet, read.value).readings, false);
}

const [STEP, NOISE, MISREAD, TAILS] = [0.01, 0.02, 0.003, 0.05];
/** What a misread value may be: anything up to 1.1 times the nominal supply [V]. */
const FULL_SCALE = 1.1 * 5;

/** P(a normal error about V stays under the edge), 5 in 100 of them three times as wide. */
const normalUnder = (edge: number, V: number): number =>
  (1 - TAILS) * normalCdf((edge - V) / NOISE) + TAILS * normalCdf((edge - V) / (3 * NOISE));

/** Equation (4): P(the display shows v | the true voltage is V). */
export function shows(v: number, V: number): number {
  const floor = (MISREAD * STEP) / FULL_SCALE;
  if (Math.abs(v - V) > 30 * NOISE) return floor;
  const under = v === 0 ? 0 : normalUnder(v - STEP / 2, V);
  return (1 - MISREAD) * (normalUnder(v + STEP / 2, V) - under) + floor;
}

/** The same for all that is under v: P(the display shows less | V). */
export function showsLess(v: number, V: number): number {
  const edge = v - STEP / 2;
  const floor = (MISREAD * edge) / FULL_SCALE;
  if (V - v > 30 * NOISE) return floor;
  return (1 - MISREAD) * normalUnder(edge, V) + floor;
}

export const states = ["sound", "fouled", "open", "intermittent"] as const;
export type State = (typeof states)[number];
type Chances = Readonly<Record<State, number>>;

/** Prior chances of a contact's states; over its body, clean or contaminated, where it has one. */
export function priorOf(
  contaminated: number,
  fouled: number,
  ifContaminated: number,
  intermittent: number,
): Chances {
  const dirty = (1 - contaminated) * fouled + contaminated * ifContaminated;
  const open = 0.1 * dirty + 0.002;
  return { sound: 1 - dirty - open - intermittent, fouled: dirty, open, intermittent };
}

export const plate = priorOf(0.08, 0.02, 0.7, 0.005);
export const pod = priorOf(0, 0.12, 0, 0.02);

interface Node {
  readonly ohms: number;
  readonly weight: number;
}

/** A log-normal law, or a mixture of them, on even steps of ln ohms. */
function gridOf(
  parts: readonly (readonly [share: number, median: number, logSd: number])[],
  from: number,
  to: number,
  step: number,
): readonly Node[] {
  const nodes: Node[] = [];
  for (let x = from; x <= to; x += step) {
    let weight = 0;
    for (const [share, median, logSd] of parts) {
      const z = (x - Math.log(median)) / logSd;
      weight += (share * step * Math.exp((-z * z) / 2)) / (logSd * Math.sqrt(2 * Math.PI));
    }
    nodes.push({ ohms: Math.exp(x), weight });
  }
  return nodes;
}

const soundGrid = gridOf([[1, 0.2, 0.8]], -7, 4, 0.25);
const fouledGrid = gridOf(
  [
    [0.6, 60, 1.2],
    [0.4, 10_000, 3],
  ],
  -3,
  25,
  0.06,
);
const never: readonly Node[] = [{ ohms: Number.POSITIVE_INFINITY, weight: 1 }];

/** Ohms of a contact in a state; one that comes and goes is sound between its bad moments. */
const gridOfState: Readonly<Record<State, readonly Node[]>> = {
  ...{ sound: soundGrid, fouled: fouledGrid, open: never, intermittent: soundGrid },
};

/** What a reading says of the true voltage at its point. */
export type Says = (V: number) => number;

const LOAD = 1000;
const behind = (E: number, ohms: number): number => (E * LOAD) / (LOAD + ohms);

/** Beyond so many ohms neither reading of the notebook can be but misread [ohm]. */
const FAR = 400;

/**
 * Equation (9): the same behind a contact that comes and goes. A table by whole ohms, straight lines
 * between them: the reading's own spread is some 8 ohm.
 */
function withBadMoments(says: Says, E: number): (ohms: number) => number {
  const at = (ohms: number): number => {
    let fresh = 0;
    for (const one of fouledGrid) fresh += one.weight * says(behind(E, ohms + one.ohms));
    return 0.7 * says(behind(E, ohms)) + 0.3 * (0.7 * fresh + 0.3 * says(0));
  };
  const table = Array.from({ length: FAR + 2 }, (_, ohms) => at(ohms));
  return (ohms) => {
    if (ohms >= FAR) return table[FAR]!;
    const below = Math.floor(ohms);
    return table[below]! + (ohms - below) * (table[below + 1]! - table[below]!);
  };
}

/** One row of the sum: the two contacts' states, and P(states, both readings). */
export interface Row {
  readonly plate: State;
  readonly pod: State;
  readonly p: number;
}

/** P(states, readings | E), equation (8) with nothing left out. `inPath` may weigh the path's ohms. */
function rowsAt(
  E: number,
  atPlate: Says,
  atPod: Says,
  inPath: (ohms: number) => number,
): readonly Row[] {
  const badPlate = withBadMoments(atPlate, E);
  const badPod = withBadMoments(atPod, E);
  const seenPlate = (ohms: number): number => atPlate(behind(E, ohms));
  const seenPod = (ohms: number): number => atPod(behind(E, ohms));
  const rows: Row[] = [];
  for (const first of states) {
    for (const second of states) {
      if (first === "intermittent" && second === "intermittent") continue;
      const goes = first === "intermittent";
      // The first one that comes and goes rules out another, whose mass is then sound.
      const chance = goes && second === "sound" ? pod.sound + pod.intermittent : pod[second];
      const one = goes ? badPlate : seenPlate;
      const other = goes || second === "intermittent" ? badPod : seenPod;
      let p = 0;
      for (const r1 of gridOfState[first]) {
        const before = 2 + r1.ohms;
        const front = r1.weight * one(before);
        if (front < 1e-300) continue;
        let rest = 0;
        for (const r2 of gridOfState[second]) {
          const whole = before + 0.3 + r2.ohms;
          rest += r2.weight * other(whole) * inPath(whole);
        }
        p += front * rest;
      }
      rows.push({ plate: first, pod: second, p: plate[first] * chance * p });
    }
  }
  return rows;
}

/** The sum over the supply as well: E ~ Normal(5, 0.05 V), on 21 even steps. */
export function rowsOf(
  atPlate: Says,
  atPod: Says,
  inPath: (ohms: number) => number = () => 1,
): readonly Row[] {
  let sum: readonly Row[] = [];
  for (let i = -10; i <= 10; i++) {
    const E = 5 + 0.02 * i;
    const weight =
      (0.02 * Math.exp(-(((E - 5) / 0.05) ** 2) / 2)) / (0.05 * Math.sqrt(2 * Math.PI));
    const rows = rowsAt(E, atPlate, atPod, inPath);
    sum = rows.map((row, k) => ({ ...row, p: weight * row.p + (sum[k]?.p ?? 0) }));
  }
  return sum;
}

export const total = (rows: readonly Row[]): number => rows.reduce((sum, { p }) => sum + p, 0);
