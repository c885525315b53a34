/**
 * `dropwise/circuit`: equations (1) to (3), conducting paths, margins, what a meter can show.
 *
 * Source: Ohm's law and Thévenin's theorem; src/MODEL.md, equations (1) to (3).
 */
export {
  type Acceptance,
  acceptance,
  acceptanceOfNormal,
  type WeightedVolts,
} from "../circuit/acceptance.ts";
export { circuitMargins } from "../circuit/circuit-margins.ts";
export {
  type DetectionLimit,
  detectionLimit,
  oneInTwenty,
  type Risks,
} from "../circuit/detection-limit.ts";
export { contactOhmsBetween, readingVolts, seriesOhmsFromReading } from "../circuit/divider.ts";
export { falseAcceptance, guardBandFor } from "../circuit/guard-band.ts";
export {
  type Ladder,
  ladderVolts,
  loadBeyond,
  parallelOhms,
  pathLadder,
  sourceAt,
  type TheveninSource,
  timerInputVolts,
} from "../circuit/ladder.ts";
export { limitVolts } from "../circuit/limit.ts";
export {
  type CircuitState,
  crossingOhms,
  margins,
  ttlInput,
} from "../circuit/margins.ts";
export { type SoundVolts, soundPath } from "../circuit/sound-path.ts";
export { type PressedReading, readingInterval, switchOhms } from "../circuit/switch-ohms.ts";
export { walkStanding } from "../circuit/walk-standing.ts";
