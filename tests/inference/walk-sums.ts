import type { WalkInference } from "../../src/inference/infer.ts";
import type { CircuitProblem, WalkProblem } from "../../src/inference/problem.ts";
import { type Fineness, placesOf, type SharedPlace, STATES } from "./path-leaves.ts";
import {
  addSums,
  type Cause,
  emptySums,
  type PathSums,
  pathSums,
  weighedQuantile,
} from "./path-sums.ts";

/** A walk at one place of its shared numbers, over everything else that it may be. */
export interface WalkSums {
  readonly likelihood: number;
  /** By circuit: its sums with the others' likelihoods, over all bodies' states. */
  readonly circuits: readonly (PathSums & { readonly conducting: readonly number[] })[];
  /** By body: joint with no contact of it at fault. */
  readonly blameless: readonly number[];
}

interface Summed {
  readonly sums: PathSums;
  readonly conducting: readonly number[];
}

/** Every configuration of the bodies in turn. */
export function walkSums(walk: WalkProblem, place: SharedPlace, fineness: Fineness): WalkSums {
  const circuits = walk.circuits.map((circuit) => ({
    ...emptySums(circuit),
    conducting: circuit.conducting.map(() => 0),
  }));
  const blameless = walk.bodies.map(() => 0);
  let likelihood = 0;
  for (let state = 0; state < 1 << walk.bodies.length; state++) {
    const dirty = (body: number | null): 0 | 1 =>
      body === null ? 0 : (((state >> body) & 1) as 0 | 1);
    const prior = walk.bodies.reduce(
      (p, { contaminated }, body) => p * (dirty(body) ? contaminated : 1 - contaminated),
      1,
    );
    const all = walk.circuits.map((circuit) => overCauses(walk, circuit, place, dirty, fineness));
    const whole = all.reduce((product, { sums }) => product * sums.likelihood, prior);
    likelihood += whole;
    for (const [c, { sums, conducting }] of all.entries()) {
      const times = whole / sums.likelihood;
      addSums(circuits[c]!, sums, times);
      for (const [k, p] of conducting.entries()) circuits[c]!.conducting[k]! += times * p;
    }
    for (const body of walk.bodies.keys()) {
      blameless[body]! += all.reduce((product, { sums }, c) => {
        const link = walk.circuits[c]!.links.findIndex((one) => one.body === body);
        const [isSound, , , cable] = link < 0 ? [sums.likelihood, 0, 0, 0] : sums.states[link]!;
        return product * (isSound! + cable!);
      }, prior);
    }
  }
  return { likelihood, circuits, blameless };
}

/** One circuit given its bodies: its patterns, what conducts, and displays that were off. */
function overCauses(
  walk: WalkProblem,
  circuit: CircuitProblem,
  place: SharedPlace,
  dirty: (body: number | null) => 0 | 1,
  fineness: Fineness,
): Summed {
  const sums = emptySums(circuit);
  const own = { chance: 1, states: circuit.links.map(({ states }) => states) };
  const nothing = circuit.conducting.reduce((p, { chance }) => p - chance, 1);
  const add = (times: number, cause: Cause): number => {
    const found = pathSums(walk, circuit, place, cause, fineness);
    addSums(sums, found, times);
    return times * found.likelihood;
  };
  const conducting = circuit.conducting.map(() => 0);
  for (const { chance, states } of circuit.patterns ?? [own]) {
    const chances: Cause["chances"] = (k) => states[k]![dirty(circuit.links[k]!.body)];
    for (const { chance: shown, off } of offWays(walk)) {
      add(chance * shown * nothing, { chances, off });
      for (const [k, one] of circuit.conducting.entries()) {
        for (const { ohms, weight } of placesOf([{ share: 1, ...one }], fineness.fouled)) {
          const across = { link: one.link, ohms };
          conducting[k]! += add(chance * shown * one.chance * weight, { chances, off, across });
        }
      }
    }
  }
  return { sums, conducting };
}

/** Equation (6), of a walk with one run of zeros at most, all of one circuit. */
function offWays({ zeroRuns: [run] }: WalkProblem): readonly { chance: number; off: number[] }[] {
  if (run === undefined) return [{ chance: 1, off: [] }];
  const { readings, off: went, stays, followed } = run;
  const n = readings.length;
  const ways: { chance: number; off: number[] }[] = [];
  for (let a = 0; a < n; a++) {
    for (let b = a; b < n; b++) {
      let chance = went[a]! * stays ** (b - a);
      for (let i = 0; i < a; i++) chance *= 1 - went[i]!;
      if (b + 1 < n || followed) chance *= 1 - stays;
      for (let i = b + 2; i < n; i++) chance *= 1 - went[i]!;
      ways.push({ chance, off: readings.slice(a, b + 1) });
    }
  }
  return [...ways, { chance: went.reduce((product, b) => product * (1 - b), 1), off: [] }];
}

/** P(the display was off at a zero), from the zeros before it alone. */
const blankOf = ({ zeroRuns: [run] }: WalkProblem, index: number): number => {
  const at = run?.readings.indexOf(index) ?? -1;
  if (at < 0) return 0;
  return run!.off.slice(0, at + 1).reduce((before, b) => Math.min(1, b + run!.stays * before), 0);
};

/** The same as an inference says it, of the one place. */
export function saidOf(walk: WalkProblem, { likelihood, circuits, blameless }: WalkSums) {
  const part = (x: number): number => x / likelihood;
  return {
    logEvidence: Math.log(likelihood),
    bodyAtFault: blameless.map((x) => 1 - part(x)),
    circuits: circuits.map(({ states, beyond, voltsLost, ohms, conducting }, c) => ({
      states: states.map((own) => own.map(part)),
      underLimit: walk.circuits[c]!.limitOhms === null ? null : part(beyond),
      voltsLost: voltsLost.map(part),
      conducting: conducting.map(part),
      ohms: ohms.map((weighed, k) => {
        const opened = states[k]![STATES.indexOf("open")]! + states[k]![STATES.indexOf("cable")]!;
        const at = (p: number): number => weighedQuantile(weighed, opened, p);
        return { low: at(0.05), median: at(0.5), high: at(0.95) };
      }),
    })),
    readings: circuits.flatMap(({ readings }, c) =>
      [...readings].map(([index, { others, less, same, badMoment }]) => {
        const { floor } = walk.circuits[c]!.readings.flat().find((one) => one.index === index)!;
        const blank = blankOf(walk, index);
        return {
          ...{ index, misread: part(floor * others), off: 1 - part(same) },
          badMoment: part(badMoment),
          below: ((1 - blank) * less) / others,
          same: ((1 - blank) * same) / others + blank,
        };
      }),
    ),
  };
}

/** An inference in the same words. */
export const saidBy = ({ logEvidence, bodyAtFault, circuits, readings }: WalkInference) => ({
  logEvidence,
  bodyAtFault: [...bodyAtFault.values()],
  circuits: circuits.map(({ states, underLimit, voltsLost, ohms, conducting }) => ({
    states: states.map((own) => [...own]),
    ...{ underLimit, conducting: [...conducting], voltsLost: [...voltsLost], ohms: [...ohms] },
  })),
  readings: [...readings].map(([index, { misread, off, badMoment, expected }]) => ({
    ...{ index, misread, off, badMoment, ...expected },
  })),
});

export interface Gaps {
  readonly chance: number;
  readonly limit: number;
  readonly volts: number;
  readonly lnOhms: number;
  readonly readings: number;
}

type Said = ReturnType<typeof saidOf>;

/**
 * The largest differences: of ln of the evidence and probabilities, of P(over the limit), which the sum knows
 * to a step of its rule, of volts, of ln of quantiles in ohm, and of what is said of readings.
 */
export function gapsBetween(found: Said, truth: Said): Gaps {
  const evidence = Math.abs(found.logEvidence - truth.logEvidence);
  const gaps = { chance: evidence, limit: 0, volts: 0, lnOhms: 0, readings: 0 };
  const chance = (a: number, b: number): void => {
    gaps.chance = Math.max(gaps.chance, Number.isNaN(a) ? 1 : Math.abs(a - b));
  };
  for (const [body, p] of truth.bodyAtFault.entries()) chance(found.bodyAtFault[body]!, p);
  for (const [c, own] of truth.circuits.entries()) {
    const other = found.circuits[c]!;
    if (own.underLimit === null) chance(other.underLimit === null ? 0 : 1, 0);
    else gaps.limit = Math.max(gaps.limit, Math.abs(other.underLimit! - own.underLimit));
    for (const [k, p] of own.conducting.entries()) chance(other.conducting[k]!, p);
    for (const [k, states] of own.states.entries()) {
      for (const [x, p] of states.entries()) chance(other.states[k]![x]!, p);
      gaps.volts = Math.max(gaps.volts, Math.abs(other.voltsLost[k]! - own.voltsLost[k]!));
      for (const of of ["low", "median", "high"] as const) {
        const [a, b] = [other.ohms[k]![of], own.ohms[k]![of]];
        if (a !== b) gaps.lnOhms = Math.max(gaps.lnOhms, Math.abs(Math.log(a / b)));
      }
    }
  }
  for (const [j, { index, ...own }] of truth.readings.entries()) {
    const other = found.readings[j]!;
    chance(other.index, index);
    for (const of of ["misread", "off", "badMoment", "below", "same"] as const) {
      gaps.readings = Math.max(gaps.readings, Math.abs(other[of] - own[of]));
    }
  }
  return gaps;
}
