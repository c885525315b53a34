/**
 * `dropwise/diagnosis`: one walk, and what to read next.
 *
 * Source: the model of src/MODEL.md, summed exactly.
 */
export type { Carried } from "../diagnosis/carried.ts";
export { diagnose } from "../diagnosis/diagnose.ts";
export { seesLimit } from "../diagnosis/meter-sight.ts";
export {
  type NextAdvice,
  type NextReading,
  nextOf,
  nextReadings,
  READING_TIMES,
  type ReadingTimes,
} from "../diagnosis/next-reading.ts";
export { type SaidAlone, saidAlone } from "../diagnosis/said-alone.ts";
