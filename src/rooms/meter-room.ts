/**
 * `dropwise/meter`: what this meter can see.
 *
 * Source: JCGM 100, ISO 11843 and what each file names.
 */
export {
  type Calibration,
  type CalibrationFault,
  calibrate,
  type ResistorReading,
} from "../meter/calibrate.ts";
export {
  type GaugeFault,
  type GaugeReading,
  type GaugeStudy,
  gaugeStudy,
} from "../meter/gauge-study.ts";
export { calibratedSight, repeatedSight, type StudiedSight } from "../meter/meter-sight.ts";
export { type MeterStudy, studyMeter } from "../meter/study-meter.ts";
