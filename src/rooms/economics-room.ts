/** `dropwise/economics`: life-cycle cost, what compares options, the memo's options. */
export type * from "../decision/memo-options.ts";
export { weighOptions } from "../decision/weigh-options.ts";
export {
  annualValue,
  type Comparison,
  compareOptions,
  lifeCycleCost,
  type Study,
  type YearFlow,
} from "../economics/life-cycle.ts";
export * from "../numerics/interest.ts";
