import type { Verdict } from "../hand-rules.ts";
import { brierScore, calibrationBins, calibrationError, type Forecast } from "../scores.ts";
import type { Answers } from "./answers-of.ts";
import { circuitName } from "./layout.ts";
import type { Truth } from "./truth.ts";

/** From this probability on a connector counts as accused. */
const ACCUSED = 0.5;
/** From this probability on a statement counts as sure. */
export const SURE = 0.99;
/** Under this a walk's readings are said not to fit. */
const NO_FIT = 0.01;

/** A share as it was counted. */
export interface Share {
  part: number;
  whole: number;
}

const share = (): Share => ({ part: 0, whole: 0 });

function counted(of: Share, hit: boolean): void {
  of.whole++;
  if (hit) of.part++;
}

/** One way of judging, over the walks of a world. */
export interface Judged {
  /** Walks in which a fault takes volts; in which the connector named first is at fault. */
  readonly top: Share;
  /** Connectors accused; accused although sound. */
  readonly accused: Share;
}

/** Everything that one world's row is printed from. */
export interface Tally {
  walks: number;
  /** Walks that stopped the program, and its first words. */
  failed: number;
  failure: string | null;
  rejectedRows: number;
  readonly program: Judged;
  readonly rules: readonly Judged[];
  /** Connectors said to be at fault at 99 % or more; those that are not. */
  readonly sure: Share;
  /** Connectors at fault that were given 1 % or less, of all given 1 % or less. */
  readonly ruledOut: Share;
  readonly forecasts: Forecast[];
  /** Circuits told sound; told so although under the limit. */
  readonly sound: Share;
  /** Circuits under the limit; told sound. */
  readonly under: Share;
  /** Circuits told weak; told so although not under the limit. */
  readonly weak: Share;
  /** All circuits; told to be read again. */
  readonly again: Share;
  /** All walks that were given a p-value; said not to fit. */
  readonly noFit: Share;
}

const judged = (): Judged => ({ top: share(), accused: share() });

export const newTally = (rules: number): Tally => ({
  ...{ walks: 0, failed: 0, failure: null, rejectedRows: 0, forecasts: [] },
  ...{ program: judged(), rules: Array.from({ length: rules }, judged) },
  ...{ sure: share(), ruledOut: share(), sound: share(), under: share(), weak: share() },
  ...{ again: share(), noFit: share() },
});

function countVerdict({ top, accused }: Judged, verdict: Verdict, truth: Truth): void {
  if (truth.tells) counted(top, truth.atFault.has(verdict.first));
  for (const name of verdict.accused) counted(accused, !truth.atFault.has(name));
}

/** Counts what the rules say of one walk. */
export function countRules(tally: Tally, verdicts: readonly Verdict[], truth: Truth): void {
  verdicts.forEach((verdict, i) => {
    countVerdict(tally.rules[i]!, verdict, truth);
  });
}

/** Counts what the program says of one walk. */
export function countAnswers(tally: Tally, answers: Answers, truth: Truth): void {
  const { connectors } = answers;
  const names = connectors.filter(({ atFault }) => atFault >= ACCUSED).map(({ name }) => name);
  countVerdict(tally.program, { first: connectors[0]?.name ?? "", accused: new Set(names) }, truth);
  for (const { name, atFault } of connectors) {
    const came = truth.atFault.has(name);
    tally.forecasts.push({ probability: atFault, came });
    if (atFault >= SURE) counted(tally.sure, !came);
    if (atFault <= 1 - SURE) counted(tally.ruledOut, came);
  }
  const under = new Map(truth.circuits.map((one) => [circuitName(one.circuit), one.under]));
  for (const { name, verdict } of answers.circuits) {
    const is = under.get(name);
    if (is === undefined) throw new Error(`the program speaks of circuit ${name}, never read`);
    if (verdict === "sound") counted(tally.sound, is);
    if (verdict === "weak") counted(tally.weak, !is);
    if (is) counted(tally.under, verdict === "sound");
    counted(tally.again, verdict === "read-again");
  }
  if (answers.fitP !== null) counted(tally.noFit, answers.fitP < NO_FIT);
  tally.rejectedRows += answers.rejected;
}

/** Brier score and calibration error of the connectors' probabilities. */
export const scoresOf = ({ forecasts }: Tally): { brier: number; calibration: number } => ({
  brier: brierScore(forecasts),
  calibration: calibrationError(calibrationBins(forecasts)),
});

/** Of the connectors accused, the share that the program's own probabilities expect to be sound. */
export function expectedSound({ forecasts }: Tally): Share {
  const accused = forecasts.filter(({ probability }) => probability >= ACCUSED);
  return {
    part: accused.reduce((sum, { probability }) => sum + 1 - probability, 0),
    whole: accused.length,
  };
}
