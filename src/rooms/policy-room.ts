/**
 * `dropwise/policy`: wait, read again, clean, replace.
 *
 * Source: a decision process over the model of src/MODEL.md.
 */

export { costsOf } from "../domain/costs.ts";
export type * from "../domain/decision.ts";
export { SUSPECT } from "../domain/findings.ts";
export { type BestAge, bestReplacementAge, type Life } from "../policy/age-replacement.ts";
export { decide, toReadAgain } from "../policy/decide.ts";
export { cleaningsOf, decideSeason, type SeasonDecisions } from "../policy/season-decisions.ts";
