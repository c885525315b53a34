import type { ContactFinding, Estimate, Explanation, MeterSight } from "../domain/findings.ts";
import type { ChainPool } from "./chain-pool.ts";

/** An explanation less likely than this is ruled out, and not printed. */
export const RULED_OUT = 0.05;
/** The supply is called low this many prior standard deviations under its nominal EMF. */
const LOW_SDS = 2;

/** Drops what the data rule out; the likeliest first. */
export const notRuledOut = (explanations: readonly Explanation[]): readonly Explanation[] =>
  explanations
    .filter(({ probability }) => probability >= RULED_OUT)
    .sort((a, b) => b.probability - a.probability);

/**
 * Whether the supply is low for everyone: the exact posterior of the EMF says how much of it lies
 * under the nominal EMF by more than two prior standard deviations.
 */
export function supplyLow(pool: ChainPool, below: number, emf: Estimate): readonly Explanation[] {
  const { emf: nominal, emfSd } = pool.supply;
  if (emfSd === 0 || below < RULED_OUT) return [];
  const prior = LOW_PRIOR;
  const odds = Math.log(below / Math.max(1 - below, 1e-12));
  return [
    {
      kind: "supply-low",
      lane: null,
      device: null,
      end: null,
      probability: below,
      logBayesFactor: odds - Math.log(prior / (1 - prior)),
      words: `the supply is low for everyone: ${emf.median.toFixed(2)} V (${emf.low.toFixed(2)} to ${emf.high.toFixed(2)}), where ${nominal.toFixed(2)} V is nominal; all readings fall with it.`,
      wouldTell: "read the timer's own supply with nothing plugged in.",
    },
  ];
}

/** The EMF under which the supply is called low [V]. */
export const lowSupply = (pool: ChainPool): number => pool.supply.emf - LOW_SDS * pool.supply.emfSd;

/** P(a standard normal is under -2). */
const LOW_PRIOR = 0.022750131948179195;

/** A zero, and what speaks for its display having been off. */
export interface DoubtedZero {
  readonly meter: string;
  /** P(off) before any reading was weighed. */
  readonly meterOff: number;
  /** P(the value does not show the path | all readings). */
  readonly doubt: number;
}

/** Zeros from a display that was off, said in one sentence instead of zero by zero. */
export function meterOff(zeros: readonly DoubtedZero[]): readonly Explanation[] {
  const off = zeros.filter(({ doubt }) => doubt >= 0.5);
  if (off.length < 2) return [];
  const meters = [...new Set(off.map(({ meter }) => meter))].join(", ");
  const odds = (p: number): number => Math.log(Math.max(p, 1e-12) / Math.max(1 - p, 1e-12));
  return [
    {
      kind: "meter-off",
      lane: null,
      device: null,
      end: null,
      // Given the rest of the walk the zeros are nearly independent.
      probability: off.reduce((product, { doubt }) => product * doubt, 1),
      logBayesFactor: off.reduce((sum, zero) => sum + odds(zero.doubt) - odds(zero.meterOff), 0),
      words: `${off.length} of ${zeros.length} zeros come from a display that had switched itself off (meter ${meters}), not from the path.`,
      wouldTell: "switch the meter on and take those points again.",
    },
  ];
}

/** A meter that cannot see a fouled contact explains any row of good readings. */
export function meterBlind(meters: readonly MeterSight[]): readonly Explanation[] {
  return meters
    .filter(({ blind }) => blind)
    .map(({ meter }) => ({
      kind: "meter-blind" as const,
      lane: null,
      device: null,
      end: null,
      probability: 1,
      logBayesFactor: 0,
      words: `meter ${meter} is blind: its load is too high for its resolution, and a fouled contact does not show on it.`,
      wouldTell: "read with a meter, or a load beside it, that draws a few milliamperes.",
    }));
}

/** P(the meter's load is not what the pool file says). */
const WRONG_LOAD = 0.02;
/** How wrong it may be: each as likely as the others. */
const LOAD_FACTORS = [0.25, 0.5, 2, 4];
/** So many circuits must be read, and this share seem faulty alike, before the question is asked. */
const FEWEST = 3;
const ALIKE = 0.8;

/**
 * Whether the first meter's load is other than the pool file says. `logEvidenceAt` gives the walk's
 * log evidence with the load multiplied by a factor. Asked only where nearly all circuits seem faulty:
 * a wrong load makes all of them lose volts alike.
 */
export function wrongLoad(
  pool: ChainPool,
  contacts: readonly ContactFinding[],
  logEvidence: number,
  logEvidenceAt: (factor: number) => number,
): readonly Explanation[] {
  const { loadOhms, name } = pool.meters[0]!;
  const { read, faulty } = circuitsOf(contacts);
  if (loadOhms === null || read < FEWEST || faulty < ALIKE * read) return [];
  const logFactors = LOAD_FACTORS.map((factor) => logEvidenceAt(factor) - logEvidence);
  const most = Math.max(...logFactors);
  const mean = logFactors.reduce((sum, log) => sum + Math.exp(log - most), 0) / LOAD_FACTORS.length;
  const logBayesFactor = most + Math.log(mean);
  const odds = logBayesFactor + Math.log(WRONG_LOAD / (1 - WRONG_LOAD));
  const likeliest = LOAD_FACTORS[logFactors.indexOf(most)]! * loadOhms;
  return [
    {
      kind: "meter-load",
      lane: null,
      device: null,
      end: null,
      probability: 1 / (1 + Math.exp(-odds)),
      logBayesFactor,
      words: `meter ${name}'s load may not be the pool file's ${loadOhms} ohm: ${likeliest} ohm explains the readings of all circuits together.`,
      wouldTell: "measure the load with known resistors in series: dropwise meter.",
    },
  ];
}

/** How many circuits were read, and how many have a contact that is more likely faulty than sound. */
function circuitsOf(contacts: readonly ContactFinding[]): { read: number; faulty: number } {
  const circuits = new Map<string, boolean>();
  for (const { lane, device, sound } of contacts) {
    const key = JSON.stringify([lane, device]);
    circuits.set(key, circuits.get(key) === true || sound < 0.5);
  }
  return { read: circuits.size, faulty: [...circuits.values()].filter((one) => one).length };
}
