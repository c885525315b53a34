/** `dropwise/diagnosis`: one walk, and what to read next. */
export { diagnose } from "../diagnosis/diagnose.ts";
export { seesLimit } from "../diagnosis/meter-sight.ts";
export {
  type NextAdvice,
  type NextReading,
  nextReadings,
  READING_TIMES,
  type ReadingTimes,
} from "../diagnosis/next-reading.ts";
