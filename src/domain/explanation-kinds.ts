/**
 * Every other explanation of a walk's readings. A new kind goes into this list; the compiler then
 * names the tables that need an entry: how it is weighed (`diagnosis/explanations.ts`) and its words
 * in each language (`words/`).
 */
export const explanationKinds = [
  "stuck",
  "leaking",
  "wet",
  "display-off",
  "supply-low",
  "supply-steps",
  "supply-drifts",
  "points-swapped",
  "rows-swapped",
  "crossed",
  "meter-load",
  "meter-blind",
] as const;

export type ExplanationKind = (typeof explanationKinds)[number];
