import { readingVolts } from "../circuit/divider.ts";
import type { Circuit } from "../domain/circuit.ts";
import type { ContactFinding, Evidence } from "../domain/findings.ts";
import { filmPart, type Pool } from "../domain/pool.ts";
import type { Reading } from "../domain/reading.ts";
import { ohms, volts } from "../domain/units.ts";
import { emfAt, type Nuisance, wireOhmsTo } from "../inference/chain/point-likelihoods.ts";
import { likelihoodAt } from "../inference/chain/reading-likelihood.ts";
import type { CircuitProblem, ReadingProblem } from "../inference/problem.ts";

/** One circuit with what was found about it. */
export interface CircuitView {
  readonly circuit: Circuit;
  readonly problem: CircuitProblem;
  /** By link. */
  readonly contacts: readonly ContactFinding[];
  /** More likely than not, something conducts across it. */
  readonly conducts: boolean;
  /** The walk's shared numbers where they are likeliest. */
  readonly nuisance: Nuisance;
  /** The walk's readings, by number. */
  readonly readings: readonly Reading[];
}

/** Two displays as likely as this say nothing, in ln. */
const SAYS_NOTHING = 0.1;

/**
 * The readings behind link `i` as evidence about its contact: each compared with what the meter
 * would have shown had this one contact been sound and all others as found. It speaks for the
 * suspicion where its display was likelier with the contact as found; where both are as likely it
 * says nothing and is left out. Where something conducts, readings are no sum of contacts.
 */
export function evidenceFor(pool: Pool, view: CircuitView, i: number): readonly Evidence[] {
  if (view.conducts) return [];
  const found = view.contacts.map(({ ohms: { median } }) => median);
  const ifSound = found.with(i, pool.contact.sound.medianOhms);
  const { sound, intermittent } = view.contacts[i]!;
  // For a contact found sound, or good between bad moments, the question is what a bad one would show.
  const bad = [filmPart(pool.contact).medianOhms, Number.POSITIVE_INFINITY];
  const suspicions = sound + intermittent > 0.5 ? bad : [found[i]!];
  const asSuspected = suspicions.map((suspected) => found.with(i, suspected));
  return view.problem.readings.flatMap((readings, k) =>
    k < i ? [] : readings.flatMap((reading) => weigh(view, reading, k, asSuspected, ifSound)),
  );
}

function weigh(
  view: CircuitView,
  reading: ReadingProblem,
  link: number,
  asSuspected: readonly (readonly number[])[],
  ifSound: readonly number[],
): readonly Evidence[] {
  const { problem, nuisance, circuit, readings } = view;
  const wire = wireOhmsTo(problem)[link]!;
  const emf = volts(emfAt(nuisance, problem.supply, reading));
  const load = ohms(nuisance.loadOhms[reading.meter]!);
  const source = ohms(nuisance.sourceOhms[problem.supply]!);
  const shownWith = (contacts: readonly number[]): number => {
    const series = contacts.slice(0, link + 1).reduce((sum, one) => sum + one, wire);
    return readingVolts(emf, load, source, ohms(series));
  };
  const likely = (at: number): number => likelihoodAt(reading, at, nuisance.noiseScale);
  const expectedIfSound = shownWith(ifSound);
  const suspected = Math.max(...asSuspected.map((contacts) => likely(shownWith(contacts))));
  const sound = likely(expectedIfSound);
  // Behind an open contact a reading is 0 whatever this contact does: it says nothing.
  if (Math.abs(Math.log(suspected / sound)) < SAYS_NOTHING) return [];
  const { point, volts: shown } = readings[reading.index]!;
  const speaks = suspected > sound ? "for" : "against";
  const { lane, device, end } = circuit;
  return [{ lane, device, end, point, volts: shown, expectedIfSound, speaks }];
}
