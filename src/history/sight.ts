import type { ContactFinding } from "../domain/findings.ts";
import { filmPart, type LogNormal, type MixturePart, type Pool } from "../domain/pool.ts";
import { normalDensity, TO_EDGE } from "../numerics/normal.ts";
import { fouledSpread } from "./fouled-spread.ts";

/**
 * What one walk says about one contact's resistance.
 *
 * - `resolved`: ln ohms is `logOhms`, give or take `error`.
 * - `either`: the same, or it is sound and the values that say otherwise are misread: for a level near
 *   `logOhms` they speak `odds` times its density as loudly as for a sound contact.
 * - `bound`: it lies between `low` and `high` ln ohms, either of which may be infinite: the meter
 *   cannot see less, the readings cannot tell two contacts apart, or the contact is open.
 * - `unseen`: the meter is blind to it; nothing follows.
 */
export type Sight =
  | Resolved
  | Either
  | { readonly kind: "bound"; readonly low: number; readonly high: number }
  | { readonly kind: "unseen" };

interface Resolved {
  readonly kind: "resolved";
  readonly logOhms: number;
  readonly error: number;
}

/** Never quite ruled out. */
const LEAST_SOUND = 1e-9;

interface Either {
  readonly kind: "either";
  readonly logOhms: number;
  readonly error: number;
  /** P(values | fouled) over P(values | sound), for each unit of the prior's density [ln ohm]. */
  readonly odds: number;
}

/** What a walk took a contact for before it read anything. */
export interface SightPrior {
  readonly sound: number;
  readonly fouled: number;
}

/** Probability of one state from which the other states' share in the quantiles is negligible. */
const SURE = 0.96;
/** A posterior this much narrower than its prior shows what was read, not what was assumed. */
const NARROWER = 0.75;

/** The reading's own part of a posterior in ln ohms: the state's prior divided out. */
function withoutPrior(logOhms: number, error: number, prior: LogNormal): Resolved {
  const precision = 1 / error ** 2;
  const priorPrecision = 1 / prior.logSd ** 2;
  const own = precision - priorPrecision;
  const sum = precision * logOhms - priorPrecision * Math.log(prior.medianOhms);
  return { kind: "resolved", logOhms: sum / own, error: Math.sqrt(1 / own) };
}

/** Density of a fouled contact's ln ohms before any reading. */
const fouledDensity = (parts: readonly MixturePart[], logOhms: number): number =>
  parts.reduce((sum, { share, medianOhms, logSd }) => {
    const z = (logOhms - Math.log(medianOhms)) / logSd;
    return sum + (share * normalDensity(z)) / logSd;
  }, 0);

/** A value that only a fouled contact at one level, or a misread reading of a sound one, explains. */
function eitherOf(
  finding: ContactFinding,
  limit: number | null,
  contact: Pool["contact"],
  prior: SightPrior,
): Either | null {
  const film = filmPart(contact);
  const { mean, sd } = fouledSpread(finding, film);
  if (finding.fouled <= 1 - SURE) return null;
  if (sd >= NARROWER * film.logSd || limit === null || mean < Math.log(limit)) return null;
  const sound = Math.max(LEAST_SOUND, finding.sound);
  const odds = (finding.fouled * prior.sound) / (sound * prior.fouled);
  const density = fouledDensity(contact.fouled, mean);
  return { kind: "either", logOhms: mean, error: sd, odds: odds / density };
}

/**
 * What a finding says, given the smallest resistance that the walk's meter can show [Ω] (null: it
 * shows none).
 *
 * A value under that limit is a bound, never its prior's median, and never the value that noise made
 * of it: whether a value counts must not depend on which way its noise went.
 */
export function sightOf(
  finding: ContactFinding,
  limit: number | null,
  contact: Pool["contact"],
  before: SightPrior,
): Sight {
  const { median, low, high } = finding.ohms;
  const sound = finding.sound > finding.fouled;
  const prior = sound ? contact.sound : filmPart(contact);
  const sure = Math.max(finding.sound, finding.fouled) >= SURE;
  // The half of the interval that the other states do not reach into.
  const half = sure && finding.open <= finding.sound && !sound ? high / median : median / low;
  const error = sure ? Math.log(half) / TO_EDGE : Math.log(high / low) / (2 * TO_EDGE);
  if (Number.isFinite(error) && error > 0 && error < NARROWER * prior.logSd) {
    const logOhms = Math.log(median);
    // Between the states the prior is neither's, and flat enough.
    const value: Resolved = sure
      ? withoutPrior(logOhms, error, prior)
      : { kind: "resolved", logOhms, error };
    if (limit === null || value.logOhms >= Math.log(limit)) return value;
  }
  const either = sure ? null : eitherOf(finding, limit, contact, before);
  if (either !== null) return either;
  if (finding.open >= SURE || low === Infinity) {
    const { medianOhms, logSd } = filmPart(contact);
    const high = Number.POSITIVE_INFINITY;
    return { kind: "bound", low: Math.log(medianOhms) + TO_EDGE * logSd, high };
  }
  if (limit === null && sound) return { kind: "unseen" };
  // Where it may be sound, the low end is the prior's, and the meter did not see that far down.
  return {
    kind: "bound",
    low: finding.sound > 0.05 ? Number.NEGATIVE_INFINITY : Math.log(low),
    high: Math.log(Math.max(high, limit ?? 0)),
  };
}
