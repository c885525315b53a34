import { assumed, assumedPriors } from "../domain/assumed.ts";
import { assumedAgeing } from "../domain/assumed-ageing.ts";
import { identity, matrixExponential } from "../numerics/matrix-exponential.ts";

/**
 * What one contact is, and how that changes from walk to walk:
 *
 *     P(kind after t weeks | kind now) = exp(Q t)
 *
 * In Q a fault goes away by itself at `HEALS` a week; a sound contact becomes faulty at the rate
 * whose chance in `WEEKS_OF_PRIOR` weeks, healing counted, is its prior, divided among the faults as
 * there. So a contact that was sound half a year ago is what a contact of unknown history is.
 */
export const contactKinds = ["sound", "film", "oxide", "open", "intermittent"] as const;
export const KINDS = contactKinds.length;
const [SOUND, FILM, OXIDE, OPEN, INTERMITTENT] = [0, 1, 2, 3, 4] as const;

/** What a contact of unknown history is, given its body; the rest is sound. Adds to under 1. */
export interface KindPrior {
  readonly fouled: number;
  readonly open: number;
  readonly intermittent: number;
}

/** A fault heals by itself [per week]. */
const HEALS = assumedAgeing.heals.value;
/** A contact of unknown history is one that was sound so long ago [weeks]. */
const WEEKS_OF_PRIOR = assumedAgeing.priorWeeks.value;
/** Of fouled contacts, those with oxide, before any cleaning. */
const OXIDE_AT_FIRST = 1 - assumedAgeing.film.value;
const cleanOutlet = assumedPriors("outlet");
/** What a new part is: as a contact in a clean outlet. */
const newPart: KindPrior = {
  fouled: cleanOutlet.fouled,
  open: assumed.openPerFouled.value * cleanOutlet.fouled,
  intermittent: cleanOutlet.intermittent,
};
/** An open or intermittent contact stays so when cleaned, and when unplugged and plugged again. */
const STAYS = {
  cleaned: assumedAgeing.staysCleaned.value,
  reseated: assumedAgeing.staysReseated.value,
} as const;

/** Shares of the kinds, film and oxide as at first. */
export const kindShares = ({ fouled, open, intermittent }: KindPrior): Float64Array =>
  Float64Array.of(
    1 - fouled - open - intermittent,
    fouled * (1 - OXIDE_AT_FIRST),
    fouled * OXIDE_AT_FIRST,
    open,
    intermittent,
  );

/** Rate at which a sound contact becomes faulty, from its chance after `WEEKS_OF_PRIOR` weeks. */
function faultRate(chance: number): number {
  if (!(chance >= 0 && chance < 1)) throw new Error(`faults of chance ${chance}: 0 to under 1`);
  const after = (rate: number): number => {
    const sum = rate + HEALS;
    return (rate / sum) * -Math.expm1(-sum * WEEKS_OF_PRIOR);
  };
  let [low, high] = [0, 1];
  while (after(high) < chance) high *= 2;
  for (let turn = 0; turn < 60; turn++) {
    const middle = (low + high) / 2;
    if (after(middle) < chance) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/** Q, row by row [per week]. */
export function kindRates(prior: KindPrior): Float64Array {
  const shares = kindShares(prior);
  const faulty = 1 - shares[SOUND]!;
  const rate = faultRate(faulty);
  const rates = new Float64Array(KINDS * KINDS);
  for (let kind = 1; kind < KINDS; kind++) {
    rates[kind] = faulty === 0 ? 0 : (rate * shares[kind]!) / faulty;
    rates[kind * KINDS] = HEALS;
    rates[kind * KINDS + kind] = -HEALS;
  }
  rates[0] = faulty === 0 ? 0 : -rate;
  return rates;
}

/** P(kind after so many weeks | kind now), row by row. */
export const kindsAfter = (prior: KindPrior, weeks: number): Float64Array =>
  matrixExponential(
    kindRates(prior).map((rate) => rate * weeks),
    KINDS,
  );

/** P(kind after the work | kind before it), row by row; `cure`: P(cleaning takes film off). */
export function kindsAfterWork(
  action: "cleaned" | "reseated" | "replaced",
  cure: number,
): Float64Array {
  if (action === "replaced") {
    const fresh = kindShares(newPart);
    return Float64Array.from({ length: KINDS * KINDS }, (_, i) => fresh[i % KINDS]!);
  }
  const matrix = identity(KINDS);
  for (const kind of [OPEN, INTERMITTENT]) {
    matrix[kind * KINDS + kind] = STAYS[action];
    matrix[kind * KINDS + SOUND] = 1 - STAYS[action];
  }
  if (action === "cleaned") {
    matrix[FILM * KINDS + FILM] = 1 - cure;
    matrix[FILM * KINDS + SOUND] = cure;
  }
  return matrix;
}

export { FILM, INTERMITTENT, OPEN, OXIDE, SOUND };
