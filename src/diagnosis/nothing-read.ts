import type { WalkDiagnosis } from "../domain/findings.ts";
import type { Pool } from "../domain/pool.ts";
import { TO_EDGE } from "../numerics/normal.ts";

/** A walk of no resting reading: the supply as the pool file has it, and nothing else. */
export function nothingRead({ supplies }: Pool, walk: string): WalkDiagnosis {
  const { emf, emfSd } = supplies[0]!;
  const reach = TO_EDGE * emfSd;
  return {
    walk,
    informedBy: [],
    likelihoods: [],
    logEvidence: 0,
    fit: { p: null, worst: [] },
    emf: { median: emf, low: emf - reach, high: emf + reach },
    supplies: [],
    loads: [],
    drift: { median: 0, low: 0, high: 0 },
    connectors: [],
    contacts: [],
    circuits: [],
    explanations: [],
    readAgain: [],
    meters: [],
  };
}
