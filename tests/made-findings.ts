import type { WalkDiagnosis } from "../src/domain/findings.ts";

/** What tests write findings from: a walk that says nothing, to be filled in. */
export const emptyWalk: WalkDiagnosis = {
  walk: "w",
  informedBy: [],
  likelihoods: [],
  logEvidence: 0,
  fit: { p: null, worst: [] },
  emf: { median: 5, low: 4.98, high: 5.02 },
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

/** Neither a broken cable nor a contact that comes and goes. */
export const steady = { cable: 0, intermittent: 0 } as const;
