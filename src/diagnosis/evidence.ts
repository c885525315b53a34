import type { ContactFinding, Evidence } from "../domain/findings.ts";
import type { Lane } from "../domain/place.ts";
import type { ChainPool } from "./chain-pool.ts";
import { likelihoodAt } from "./display-likelihood.ts";
import type { WeighedReading } from "./walk-model.ts";

/** One circuit with what was found about it. */
export interface CircuitView {
  readonly lane: Lane;
  readonly device: string;
  /** By link. */
  readonly readings: readonly (readonly WeighedReading[])[];
  /** By link. */
  readonly contacts: readonly ContactFinding[];
  /** Posterior median of the EMF [V]. */
  readonly emf: number;
}

/**
 * The readings behind link `i` as evidence about its contact: each compared with what the meter
 * would have shown had this one contact been sound and all others as found. It speaks for the
 * suspicion where its display was likelier with the contact as found; where both are as likely it
 * says nothing and is left out.
 */
export function evidenceFor(pool: ChainPool, view: CircuitView, i: number): readonly Evidence[] {
  const found = view.contacts.map(({ ohms }) => ohms.median);
  const ifSound = found.map((ohms, k) => (k === i ? pool.contact.sound.medianOhms : ohms));
  // For a contact found sound, the question is what a faulty one would have shown.
  const suspicions =
    view.contacts[i]!.sound > 0.5 ? [pool.contact.fouled.medianOhms, Infinity] : [found[i]!];
  const asSuspected = suspicions.map((suspected) =>
    found.map((ohms, k) => (k === i ? suspected : ohms)),
  );
  return view.readings.flatMap((readings, k) =>
    k < i ? [] : readings.flatMap((weighed) => weigh(view, weighed, asSuspected, ifSound)),
  );
}

function weigh(
  view: CircuitView,
  weighed: WeighedReading,
  asSuspected: readonly (readonly number[])[],
  ifSound: readonly number[],
): readonly Evidence[] {
  const { reading, loadOhms, loopOhms, display, link } = weighed;
  const volts = (contacts: readonly number[]): number => {
    const series = contacts.slice(0, link + 1).reduce((sum, ohms) => sum + ohms, 0);
    return (view.emf * loadOhms) / (loopOhms + series);
  };
  const expectedIfSound = volts(ifSound);
  const suspected = Math.max(...asSuspected.map((at) => likelihoodAt(display, volts(at))));
  const sound = likelihoodAt(display, expectedIfSound);
  // Behind an open contact a reading is 0 whatever this contact does: it says nothing.
  if (Math.abs(Math.log(suspected / sound)) < 0.1) return [];
  const { lane, device } = view;
  const { point, volts: shown } = reading;
  const speaks = suspected > sound ? "for" : "against";
  return [{ lane, device, end: null, point, volts: shown, expectedIfSound, speaks }];
}
