import type { ContactLaw, StepPrices } from "../../src/policy/contact-law.ts";

/** One floor on the grid's first node, growth of one node a walk: the grid is then exact. */
export const law: ContactLaw = {
  modes: [
    { kind: "log", rate: 0.08, weight: 0.6 },
    { kind: "ohm", rate: 0.9, weight: 0.4 },
  ],
  oxide: 0.3,
  cure: 0.8,
  mendable: 0.2,
  floor: [{ value: Math.log(0.5), weight: 1 }],
  fouled: [{ value: Math.log(0.5) + 16 * 0.16, weight: 1 }],
  rates: { fouled: 0.01, open: 0.004, intermittent: 0.003, mends: 0.01 },
  steps: { perWeek: 0, rises: [] },
  limit: { logOhms: Math.log(12), scatter: 0.15 },
  life: { shape: 1, scale: 300 },
};
export const prices: StepPrices = {
  clean: 6,
  replace: 40,
  lowWeek: 9,
  openWeek: 38,
  intermittentWeek: 11,
};

/** What a meter of 1000 ohms sees of a level on 5 V. */
export const view = {
  volts: (level: number) => 5000 / (1000 + Math.exp(level)),
  noise: 0.02,
  badShare: 0.3,
};

/** A rule by which nothing is ever done. */
export const never = {
  first: "clean" as const,
  cleanUnder: null,
  replaceUnder: null,
  replaceAfter: null,
  leaveAfter: null,
  cleanEvery: null,
};
