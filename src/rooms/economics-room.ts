/**
 * `dropwise/economics`: life-cycle cost, what compares options, the memo's options.
 *
 * Source: ASTM E917, E964, E1057 and E1074; NIST Handbook 135.
 */

export {
  annualValue,
  type Comparison,
  compareOptions,
  lifeCycleCost,
  type Study,
  type YearFlow,
} from "../economics/life-cycle.ts";
export type * from "../economics/memo-options.ts";
export { weighOptions, weighSeason } from "../economics/weigh-options.ts";
export * from "../numerics/interest.ts";
