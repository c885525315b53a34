/**
 * The package's one entry: the whole story in one screen, and every public name.
 *
 *     readings.csv ─┐                                     ┌─> suspects ─┐
 *                   ├─ intake ─> Reading[] ─> diagnosis ──┤             ├─> decision ─> report
 *     pool.yaml ────┘      └───> Reject[]        ▲        └─> next      │
 *                                             circuit                   │
 *     work.csv ─── intake ─> WorkEntry[] ─> history ─> drift ───────────┘
 */
export {
  type Acceptance,
  acceptance,
  acceptanceOfNormal,
  type WeightedVolts,
} from "./circuit/acceptance.ts";
export { circuitMargins } from "./circuit/circuit-margins.ts";
export {
  type DetectionLimit,
  detectionLimit,
  oneInTwenty,
  type Risks,
} from "./circuit/detection-limit.ts";
export { contactOhmsBetween, readingVolts, seriesOhmsFromReading } from "./circuit/divider.ts";
export { falseAcceptance, guardBandFor } from "./circuit/guard-band.ts";
export {
  type Ladder,
  ladderVolts,
  loadBeyond,
  parallelOhms,
  pathLadder,
  sourceAt,
  type TheveninSource,
  timerInputVolts,
} from "./circuit/ladder.ts";
export { limitVolts } from "./circuit/limit.ts";
export {
  type CircuitState,
  crossingOhms,
  margins,
  ttlInput,
} from "./circuit/margins.ts";
export { type SoundVolts, soundPath } from "./circuit/sound-path.ts";
export { type PressedReading, readingInterval, switchOhms } from "./circuit/switch-ohms.ts";
export { walkStanding } from "./circuit/walk-standing.ts";
export type * from "./decision/memo-options.ts";
export { weighOptions } from "./decision/weigh-options.ts";
export { diagnose } from "./diagnosis/diagnose.ts";
export {
  type NextAdvice,
  type NextReading,
  nextReadings,
  READING_TIMES,
  type ReadingTimes,
} from "./diagnosis/next-reading.ts";
export { dayNumber, dayText } from "./domain/calendar.ts";
export { copperResistance } from "./domain/copper-wire.ts";
export type * from "./domain/costs.ts";
export { defaultCosts } from "./domain/costs.ts";
export type { Facility } from "./domain/facility.ts";
export type * from "./domain/findings.ts";
export type * from "./domain/margins.ts";
export type * from "./domain/meet.ts";
export { meetDefaults } from "./domain/meet.ts";
export type * from "./domain/pad.ts";
export type * from "./domain/pool.ts";
export type * from "./domain/reading.ts";
export type * from "./domain/result.ts";
export type * from "./domain/touch.ts";
export { type Ohms, ohms, type Volts, volts } from "./domain/units.ts";
export type * from "./domain/work.ts";
export {
  annualValue,
  type Comparison,
  compareOptions,
  lifeCycleCost,
  type Study,
  type YearFlow,
} from "./economics/life-cycle.ts";
export type * from "./history/cleaning-record.ts";
export { cleaningRecord } from "./history/cleaning-record.ts";
export { contactHistories, type DatedWalk } from "./history/contact-history.ts";
export type { BeliefPoint, ContactBelief, OutlookPoint } from "./history/contact-line.ts";
export type { GrowthLaw } from "./history/growth-law.ts";
export { limitOhms } from "./history/limit-ohms.ts";
export { type CircuitTrend, type ContactTrend, type PoolTrend, trend } from "./history/trend.ts";
export { readPool } from "./intake/pool/read-pool.ts";
export { readFacility, unknownFacility } from "./intake/read-facility.ts";
export { type MeterRow, type MeterSheet, readMeterSheet } from "./intake/read-meter-sheet.ts";
export { type ReadingsSheet, readReadings } from "./intake/read-readings.ts";
export { readWorkLog, type WorkLog } from "./intake/read-work-log.ts";
export { rejectedCsv } from "./intake/rejected-csv.ts";
export {
  LEAST_WALKS,
  type LearntNumber,
  learnPool,
  type PoolProposal,
} from "./learning/learn-pool.ts";
export { type RankingChange, rankingChanges } from "./learning/ranking-change.ts";
export type * from "./meet/bag.ts";
export { type DeviceState, deviceState, type Reason } from "./meet/device-state.ts";
export type { LaneReady } from "./meet/lane-ready.ts";
export type { Look } from "./meet/latest-look.ts";
export { type PadsDue, padsDue } from "./meet/pads-due.ts";
export { pressedDevices } from "./meet/pressed-devices.ts";
export { type MeetInput, type MeetReady, meetReady } from "./meet/ready.ts";
export { planRound, type Round } from "./meet/round.ts";
export { touchBlame } from "./meet/touch-blame.ts";
export { touchProof } from "./meet/touch-proof.ts";
export { touchRate } from "./meet/touch-rate.ts";
export {
  type Calibration,
  type CalibrationFault,
  calibrate,
  type ResistorReading,
} from "./meter/calibrate.ts";
export {
  type GaugeFault,
  type GaugeReading,
  type GaugeStudy,
  gaugeStudy,
} from "./meter/gauge-study.ts";
export { calibratedSight, repeatedSight, type StudiedSight } from "./meter/meter-sight.ts";
export { type MeterStudy, studyMeter } from "./meter/study-meter.ts";
export * from "./numerics/interest.ts";
export { type BestAge, bestReplacementAge, type Life } from "./policy/age-replacement.ts";
export { costsOf, decide, SUSPECT, toReadAgain } from "./policy/decide.ts";
export type * from "./policy/decision.ts";
export { cleaningsOf, decideSeason, type SeasonDecisions } from "./policy/season-decisions.ts";
export {
  type DiagnosedWalk,
  diagnoseSeason,
  diagnoseTimed,
  inOrderOfTime,
  type TimedWalk,
  walksOf,
} from "./season/diagnose-season.ts";
export { latestWalk } from "./season/latest-walk.ts";
export { openSeason, type Season, type SeasonProgress } from "./season/open-season.ts";
