import { DAYS_PER_YEAR } from "../domain/calendar.ts";
import type { Estimate } from "../domain/findings.ts";
import { filmPart, type LogNormal, type Pool } from "../domain/pool.ts";
import { normalCdf, TO_EDGE } from "../numerics/normal.ts";
import type { ContactHistory, DatedWalk } from "./contact-history.ts";

/** Where one cleaning brought a contact: its resistance just after. */
export interface Floor {
  readonly day: number;
  readonly begunBy: "cleaned" | "reseated" | "replaced";
  /** 90 % [Ω] */
  readonly ohms: Estimate;
}

/** The floors of one contact, and whether they rise: that rise is what cleaning cannot cure. */
export interface FloorCreep {
  /** Oldest first, since it was last replaced. */
  readonly floors: readonly Floor[];
  /** Rise of the floor [ln ohm a year], 90 %. */
  readonly creep: Estimate;
  /** P(the floor rises). */
  readonly rising: number;
  /** Where a cleaning on the given day should bring it, 90 % [Ω]. */
  readonly nextFloor: Estimate;
}

/** Standard deviation of how far down one cleaning gets, beside another of the same contact. */
const FLOOR_SCATTER = 0.5;
/** Share of first floors that are a fouled contact's: a cleaning that did not cure. */
const NOT_CURED = 0.1;
/** A floor so much better known than the pool file's sound contact is one that was seen. */
const SEEN = 0.75;
/** Standard deviation of creep, before any floor was seen [ln ohm a year]. */
const CREEP_BEFORE = 1;

const ohmsOf = (mean: number, variance: number): Estimate => {
  const reach = TO_EDGE * Math.sqrt(variance);
  return { median: Math.exp(mean), low: Math.exp(mean - reach), high: Math.exp(mean + reach) };
};

/** A normal distribution of the first floor [ln ohm] and of creep [ln ohm a year]. */
interface Rise {
  readonly first: number;
  readonly creep: number;
  /** Variances, and their covariance. */
  readonly firstVariance: number;
  readonly covariance: number;
  readonly creepVariance: number;
  /** ln P(the floors seen), with the share of this prior. */
  readonly logEvidence: number;
}

/** One floor, where it was seen and how well [ln ohm]. */
export interface SeenFloor {
  readonly day: number;
  readonly begunBy: Floor["begunBy"];
  readonly level: number;
  readonly variance: number;
}

/** The same, years after the first. */
interface PlacedFloor {
  readonly years: number;
  readonly level: number;
  readonly variance: number;
}

/**
 * The floors that the walks have seen: by the first walk after each work, from the expected ohms of
 * every walk and their variance. One that is only as well known as the pool file's is none.
 */
export function floorsOf(
  { segments }: ContactHistory,
  walks: readonly DatedWalk[],
  mean: Float64Array,
  variance: Float64Array,
  { sound }: Pool["contact"],
): readonly SeenFloor[] {
  const index = new Map(walks.map(({ diagnosis }, w) => [diagnosis.walk, w]));
  return segments.flatMap(({ begunBy, begun, observations }): SeenFloor[] => {
    const first = observations[0];
    if (begunBy === "first walk" || first === undefined) return [];
    const w = index.get(first.walk)!;
    // Of a log-normal with this mean and variance.
    const spread = Math.log1p(variance[w]! / mean[w]! ** 2);
    if (spread > (SEEN * sound.logSd) ** 2) return [];
    return [{ day: begun, begunBy, level: Math.log(mean[w]!) - spread / 2, variance: spread }];
  });
}

/** Floors in the order of time, each correcting what the ones before it said (Kalman). */
function riseOf(seen: readonly PlacedFloor[], share: number, prior: LogNormal): Rise {
  let [first, creep] = [Math.log(prior.medianOhms), 0];
  let [v00, v01, v11] = [prior.logSd ** 2, 0, CREEP_BEFORE ** 2];
  let logEvidence = Math.log(share);
  for (const { years, level, variance } of seen) {
    const total = v00 + 2 * v01 * years + v11 * years * years + variance;
    const off = level - first - creep * years;
    const [toFirst, toCreep] = [(v00 + v01 * years) / total, (v01 + v11 * years) / total];
    first += toFirst * off;
    creep += toCreep * off;
    [v00, v01, v11] = [
      v00 - toFirst * toFirst * total,
      v01 - toFirst * toCreep * total,
      v11 - toCreep * toCreep * total,
    ];
    logEvidence -= 0.5 * (Math.log(2 * Math.PI * total) + (off * off) / total);
  }
  const variances = { firstVariance: v00, covariance: v01, creepVariance: v11 };
  return { first, creep, ...variances, logEvidence };
}

/** Mean and variance of two normals mixed. */
function mixed(shares: readonly number[], means: readonly number[], variances: readonly number[]) {
  const mean = shares.reduce((sum, share, i) => sum + share * means[i]!, 0);
  const variance = shares.reduce(
    (sum, share, i) => sum + share * (variances[i]! + (means[i]! - mean) ** 2),
    0,
  );
  return { mean, variance };
}

/**
 * Normal regression of log floors on years. The first floor is a sound contact of the pool file or,
 * as after a cleaning that did not cure, a fouled one, whichever the floors agree with; creep is
 * taken for none before any floor was seen. `day` is that of the next cleaning.
 */
export function floorCreep(
  { segments }: ContactHistory,
  floors: readonly SeenFloor[],
  contact: Pool["contact"],
  day: number,
): FloorCreep {
  const replaced = segments.findLast(({ begunBy }) => begunBy === "replaced")?.begun ?? -Infinity;
  const seen = floors.filter((floor) => floor.day >= replaced);
  const origin = seen[0]?.day ?? day;
  const yearsAt = (on: number): number => (on - origin) / DAYS_PER_YEAR;
  const placed = seen.map(({ day: on, level, variance }) => ({
    years: yearsAt(on),
    level,
    variance: variance + FLOOR_SCATTER ** 2,
  }));
  const rises = [
    riseOf(placed, 1 - NOT_CURED, contact.sound),
    riseOf(placed, placed.length > 0 ? NOT_CURED : 0, filmPart(contact)),
  ];
  const most = Math.max(...rises.map(({ logEvidence }) => logEvidence));
  const worth = rises.map(({ logEvidence }) => Math.exp(logEvidence - most));
  const shares = worth.map((one) => one / (worth[0]! + worth[1]!));
  const creep = mixed(
    shares,
    rises.map((rise) => rise.creep),
    rises.map((rise) => rise.creepVariance),
  );
  const years = yearsAt(day);
  const next = mixed(
    shares,
    rises.map((rise) => rise.first + rise.creep * years),
    rises.map(
      ({ firstVariance, covariance, creepVariance }) =>
        firstVariance + 2 * covariance * years + creepVariance * years ** 2 + FLOOR_SCATTER ** 2,
    ),
  );
  const reach = TO_EDGE * Math.sqrt(creep.variance);
  return {
    floors: seen.map(({ begunBy, day: on, level, variance }) => ({
      day: on,
      begunBy,
      ohms: ohmsOf(level, variance),
    })),
    creep: { median: creep.mean, low: creep.mean - reach, high: creep.mean + reach },
    rising: rises.reduce(
      (sum, rise, i) => sum + shares[i]! * normalCdf(rise.creep / Math.sqrt(rise.creepVariance)),
      0,
    ),
    nextFloor: ohmsOf(next.mean, next.variance),
  };
}
