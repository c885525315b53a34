import { normalQuantile } from "../normal.ts";
import { sobolPoints } from "../sobol.ts";
import { latticeAt } from "./even-points.ts";
import { logNormalAt } from "./guided-draws.ts";
import { shownOnLadder } from "./ladder-network.ts";
import { openInBadMoment, showingOf } from "./leaf-sums.ts";
import { type PathState, pathStates, priorOf, shuntLaws } from "./path-states.ts";
import type { Circuit, Walk } from "./read-circuits.ts";
import { readRight } from "./shown-chance.ts";

/** What may be wrong with a path: nothing, a contact or cable, or only something that conducts. */
const kinds = ["nothing", "contact", "conducting"] as const;

/** Chances, given each value that the one reading of a walk can show. */
export interface GuiltCurve {
  readonly volts: readonly number[];
  /** That a contact is fouled, open or intermittent, or a cable broken. */
  readonly contact: readonly number[];
  /** That, or that something conducts. */
  readonly wrong: readonly number[];
}

const binVolts = 0.002;
const tauNodes = [1, 3, 5, 7, 9, 11, 13, 15].map((i) => Math.exp(0.3 * normalQuantile(i / 16)));

const kindOf = ({ states, conducting }: PathState): (typeof kinds)[number] => {
  if (states.some((s) => s !== "s")) return "contact";
  return conducting.kind === "none" ? "nothing" : "conducting";
};

/** Sets of contaminated bodies with their chances. */
const bodiesOf = ({ path }: Circuit) =>
  path.reduce(
    (all, { contaminated: c }, k) =>
      all.flatMap(({ mask, chance }) =>
        c
          ? [
              { mask, chance: chance * (1 - c) },
              { mask: mask | (1 << k), chance: chance * c },
            ]
          : [{ mask, chance }],
      ),
    [{ mask: 0, chance: 1 }],
  );

/** Chance of each true voltage at the path's end, in bins, for each kind of wrong. */
class TrueVolts {
  readonly bins = kinds.map(() => new Float64Array(Math.ceil(5.6 / binVolts)));
  private readonly walk: Walk;
  private readonly circuit: Circuit;
  private readonly net: readonly Float64Array[];
  private readonly count: number;

  constructor(walk: Walk, count: number) {
    this.walk = walk;
    this.circuit = walk.circuits[0]!;
    this.count = count;
    this.net = sobolPoints(6, count, 3);
    const { states } = pathStates(walk, this.circuit);
    const bodies = bodiesOf(this.circuit);
    for (const state of states) {
      const chance = bodies.reduce(
        (sum, { mask, chance: p }) => sum + p * priorOf(walk, this.circuit, state, mask),
        0,
      );
      this.addState(state, chance);
    }
  }

  private add(kind: number, volts: number, chance: number): void {
    this.bins[kind]![Math.round(Math.max(0, volts) / binVolts)]! += chance;
  }

  /** Enumerates which of its two parts each fouled resistance comes from, the fresh one's last. */
  private addState(state: PathState, chance: number): void {
    const kind = kinds.indexOf(kindOf(state));
    const open = state.states.some((s) => s === "o" || s === "c");
    if (open) {
      this.add(kind, 0, chance);
      return;
    }
    const loose = state.states.indexOf("i");
    const bad = loose < 0 ? 0 : this.walk.model.bad_share;
    this.add(kind, 0, chance * bad * openInBadMoment);
    const fouled = state.states.filter((s) => s === "f").length;
    const { fouled: parts } = this.walk;
    for (let which = 0; which < parts.length ** (fouled + 1); which++) {
      const part = (i: number) => parts[Math.floor(which / parts.length ** i) % parts.length]!;
      let share = chance * part(fouled).share;
      for (let i = 0; i < fouled; i++) share *= part(i).share;
      if (share < 1e-10) continue;
      this.addParts(state, part, kind, share, bad * (1 - openInBadMoment));
    }
  }

  private addParts(
    { states, conducting }: PathState,
    part: (i: number) => { median_ohms: number; log_sd: number },
    kind: number,
    chance: number,
    bad: number,
  ): void {
    const { facility, sound } = this.walk;
    const { emf, emf_sd, source_ohms: source } = facility.supplies[0]!;
    const load = facility.meters[0]!.load_ohms as number;
    const end = states.length - 1;
    const few = chance < 1e-6 ? 64 : chance < 1e-4 ? 512 : this.count;
    for (let n = 0; n < few; n++) {
      const supply = emf + emf_sd * normalQuantile(latticeAt(n, 0, 0.5));
      let i = 0;
      const series = states.map((s, k) => {
        const law = s === "f" ? part(i++) : sound;
        return this.circuit.path[k]!.wire + logNormalAt(law, this.net[k]![n]!);
      });
      const ohms = logNormalAt(
        conducting.kind === "stuck" ? shuntLaws.closed : shuntLaws.water,
        this.net[4]![n]!,
      );
      const shunts = conducting.kind === "none" ? [] : [{ at: conducting.at, ohms }];
      const good = shownOnLadder(supply, source as number, series, end, load, shunts);
      const loose = states.indexOf("i");
      this.add(kind, good, (chance / few) * (loose < 0 ? 1 : 1 - this.walk.model.bad_share));
      if (bad > 0) {
        series[loose]! += logNormalAt(part(i), this.net[5]![n]!);
        const seen = shownOnLadder(supply, source as number, series, end, load, shunts);
        this.add(kind, seen, (chance / few) * bad);
      }
    }
  }
}

/**
 * P(something wrong) over all values that a walk's single reading, at the end of the one circuit's
 * path, can show: true voltages drawn evenly from the prior (`count` a state, a power of two) and
 * seen through the meter. Source and load must be numbers.
 */
export const guiltCurve = (walk: Walk, count: number): GuiltCurve => {
  const circuit = walk.circuits[0]!;
  const { bins } = new TrueVolts(walk, count);
  const showing = showingOf(walk, circuit, circuit.readings[0]!);
  const { blank } = walk.model;
  const priors = bins.map((of) => of.reduce((a, b) => a + b, 0));
  const volts = Array.from({ length: Math.round(5.2 / showing.step) }, (_, i) => i * showing.step);
  const curves = volts.map((v) => {
    const chances = bins.map((of, kind) => {
      let sum = priors[kind]! * showing.stray;
      for (const tau of tauNodes) {
        const noise = tau * showing.noise;
        const reach = showing.step + 20 * noise;
        const last = Math.min(of.length - 1, Math.floor((v + reach) / binVolts));
        for (let b = Math.max(0, Math.ceil((v - reach) / binVolts)); b <= last; b++) {
          if (of[b]! === 0) continue;
          const right = readRight({ ...showing, volts: v }, noise, b * binVolts);
          sum += (of[b]! * right) / tauNodes.length;
        }
      }
      return v === 0 ? (1 - blank) * sum + blank * priors[kind]! : sum;
    });
    const total = chances.reduce((a, b) => a + b, 0);
    return { contact: chances[1]! / total, wrong: (chances[1]! + chances[2]!) / total };
  });
  return { volts, contact: curves.map((c) => c.contact), wrong: curves.map((c) => c.wrong) };
};

/** The least chance at or under a voltage, once it has been `once` at a higher one; and where. */
export const leastAfter = (
  { volts }: GuiltCurve,
  chances: readonly number[],
  once: number,
): { readonly least: number; readonly volts: number } => {
  let found = { least: 1, volts: Number.NaN };
  let reached = false;
  for (let i = volts.length - 1; i >= 0; i--) {
    // Over the nominal voltage nothing is lost: the curve starts at 5 V.
    if (volts[i]! > 5) continue;
    reached ||= chances[i]! >= once;
    if (reached && chances[i]! < found.least) found = { least: chances[i]!, volts: volts[i]! };
  }
  return found;
};
