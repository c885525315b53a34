import { assumedAgeing, assumedSpreads } from "../../domain/assumed-ageing.ts";
import { growthRows, rowRange } from "./growth-rows.ts";

/**
 * What the contacts of one class have in common, exactly: P(it does not grow) = p, else ln rate ~
 * Normal(m, s), m and s on a grid; and the law, linear in ln ohms or in ohms, the same for the whole
 * class. Given these, contacts are independent, so the weight of a grid point is its prior times
 *
 *     prod over contacts [ p Z_flat + (1 - p) sum over rates Normal(ln rate | m, s) Z_rate ]
 *
 * and what the others say of one contact's growth is the same without its own factor.
 */
export interface ClassBefore {
  /** Means of Beta(a, b) of p. */
  readonly notGrowing: readonly [number, number];
  /** ln of the usual rate: median and sd, for each law. */
  readonly log: { readonly median: number; readonly sd: number };
  readonly ohm: { readonly median: number; readonly sd: number };
}

const { notGrowing: share, notGrowingWorth: worth } = assumedAgeing;

const classBefore: ClassBefore = {
  notGrowing: [share.value * worth.value, (1 - share.value) * worth.value],
  log: {
    median: Math.log(assumedAgeing.shareRate.value),
    sd: assumedAgeing.shareRateLogSd.value,
  },
  ohm: { median: Math.log(assumedAgeing.ohmRate.value), sd: assumedAgeing.ohmRateLogSd.value },
};

const SHARES = Array.from({ length: 16 }, (_, i) => (i + 0.5) / 16);
const MEANS = Array.from({ length: 11 }, (_, i) => (i - 5) * 0.45);
const LAWS = ["log", "ohm"] as const;

/** One class's answer. */
export interface ClassAnswer {
  /** ln P(all values | law). */
  readonly lnLaw: readonly [number, number];
  /** By law, by contact: P(row | all values, law), rows as in growthRows. */
  readonly rows: readonly (readonly Float64Array[])[];
  /** By law: P(row of a new contact of the class). */
  readonly anew: readonly Float64Array[];
  /** By law: means of p, and of the ln rate and its spread. */
  readonly notGrowing: readonly number[];
  readonly lnRate: readonly number[];
  readonly spread: readonly number[];
}

/** Shares of the kind's rows under Normal(mean, spread) of the ln rate. */
function rateShares(law: "log" | "ohm", mean: number, spread: number): Float64Array {
  const [from, to] = rowRange[law];
  const shares = Float64Array.from({ length: to - from }, (_, i) =>
    Math.exp(-0.5 * ((growthRows[from + i]!.lnRate - mean) / spread) ** 2),
  );
  const sum = shares.reduce((total, share) => total + share, 0);
  return shares.map((share) => share / sum);
}

interface Points {
  readonly lnWeights: Float64Array;
  readonly rates: readonly Float64Array[];
}

/** Prior of the points (spread, mean): mean normal, spreads alike. */
function pointsOf(law: "log" | "ohm", before: ClassBefore): Points {
  const { median, sd } = before[law];
  const rates: Float64Array[] = [];
  const lnWeights: number[] = [];
  for (const spread of assumedSpreads) {
    for (const off of MEANS) {
      rates.push(rateShares(law, median + off * sd, spread));
      lnWeights.push(-0.5 * off * off);
    }
  }
  return { lnWeights: Float64Array.from(lnWeights), rates };
}

/** Learns one class from its contacts' ln P(values | row). */
export function learnClass(
  contacts: readonly Float64Array[],
  before: ClassBefore = classBefore,
): ClassAnswer {
  const found = LAWS.map((law) => learnUnder(law, contacts, before));
  return {
    lnLaw: [found[0]!.lnLaw, found[1]!.lnLaw],
    rows: found.map(({ rows }) => rows),
    anew: found.map(({ anew }) => anew),
    notGrowing: found.map(({ notGrowing }) => notGrowing),
    lnRate: found.map(({ lnRate }) => lnRate),
    spread: found.map(({ spread }) => spread),
  };
}

/** Rows that are ruled out have no probability at all: a law of none but these is as good as ruled out. */
const floorOf = (rows: Float64Array): number => Math.max(...rows) - 700;

/** Sum over rates of what each says, by the shares of the rates. */
function along(own: Float64Array, shares: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < own.length; i++) sum += own[i]! * shares[i]!;
  return sum;
}

/** ln of the prior's weight times what all contacts say at one point. */
function lnOfAll(lnPrior: number, share: number, flats: Float64Array, grown: Float64Array): number {
  let ln = lnPrior;
  for (let n = 0; n < flats.length; n++)
    ln += Math.log(share * flats[n]! + (1 - share) * grown[n]! + 1e-300);
  return ln;
}

/** Adds a point's weight to each contact's chance of no growth, and to what its growths share. */
function shareOut(
  weight: number,
  share: number,
  flats: Float64Array,
  grown: Float64Array,
  ofFlat: Float64Array,
  ofGrown: Float64Array,
): void {
  for (let n = 0; n < flats.length; n++) {
    const of = weight / (share * flats[n]! + (1 - share) * grown[n]! + 1e-300);
    ofFlat[n]! += of * share * flats[n]!;
    ofGrown[n]! += of * (1 - share);
  }
}

/** Adds one contact's growths, from a row on. */
function addRows(
  whole: number,
  shares: Float64Array,
  likelihood: Float64Array,
  from: number,
  rows: Float64Array,
): void {
  for (let i = 0; i < shares.length; i++) rows[from + i]! += whole * shares[i]! * likelihood[i]!;
}

function learnUnder(law: "log" | "ohm", contacts: readonly Float64Array[], before: ClassBefore) {
  const [from, to] = rowRange[law];
  const points = pointsOf(law, before);
  const [a, b] = before.notGrowing;
  const size = SHARES.length * points.rates.length;
  const lnWeights = new Float64Array(size);
  const most = contacts.map((rows) =>
    Math.max(rows[0]!, ...rows.subarray(from, to), floorOf(rows)),
  );
  const likelihoods = contacts.map((rows, n) =>
    Float64Array.from({ length: to - from }, (_, i) => Math.exp(rows[from + i]! - most[n]!)),
  );
  const flats = Float64Array.from(contacts, (rows, n) => Math.exp(rows[0]! - most[n]!));
  const grown = points.rates.map((shares) =>
    Float64Array.from(likelihoods, (own) => along(own, shares)),
  );
  for (let p = 0; p < SHARES.length; p++) {
    const share = SHARES[p]!;
    const [lnShare, lnRest] = [(a - 1) * Math.log(share), (b - 1) * Math.log(1 - share)];
    for (let j = 0; j < points.rates.length; j++)
      lnWeights[p * points.rates.length + j] = lnOfAll(
        points.lnWeights[j]! + lnShare + lnRest,
        share,
        flats,
        grown[j]!,
      );
  }
  const top = Math.max(...lnWeights);
  const weights = lnWeights.map((ln) => Math.exp(ln - top));
  const total = weights.reduce((sum, weight) => sum + weight, 0);
  const rows = contacts.map(() => new Float64Array(growthRows.length));
  const ofFlat = new Float64Array(contacts.length);
  const anew = new Float64Array(growthRows.length);
  let [notGrowing, lnRate, square, spread] = [0, 0, 0, 0];
  // By rate distribution and contact: sums over p of the weight that its growth, or none, has.
  for (let j = 0; j < points.rates.length; j++) {
    const mean = before[law].median + MEANS[j % MEANS.length]! * before[law].sd;
    const sd = assumedSpreads[Math.floor(j / MEANS.length)]!;
    const shares = points.rates[j]!;
    const ofGrown = new Float64Array(contacts.length);
    let ofAnew = 0;
    for (let p = 0; p < SHARES.length; p++) {
      const weight = weights[p * points.rates.length + j]! / total;
      if (weight < 1e-9) continue;
      const share = SHARES[p]!;
      notGrowing += weight * share;
      lnRate += weight * mean;
      square += weight * mean * mean;
      spread += weight * sd * sd;
      anew[0]! += weight * share;
      ofAnew += weight * (1 - share);
      shareOut(weight, share, flats, grown[j]!, ofFlat, ofGrown);
    }
    for (let i = 0; i < shares.length; i++) anew[from + i]! += ofAnew * shares[i]!;
    for (let n = 0; n < contacts.length; n++)
      addRows(ofGrown[n]!, shares, likelihoods[n]!, from, rows[n]!);
  }
  for (let n = 0; n < contacts.length; n++) rows[n]![0] = ofFlat[n]!;
  const prior = prior0(a, b, points);
  return {
    lnLaw: top + Math.log(total) - prior + most.reduce((sum, one) => sum + one, 0),
    rows,
    anew,
    notGrowing,
    lnRate,
    spread: Math.sqrt(spread + Math.max(0, square - lnRate * lnRate)),
  };
}

/** ln of the prior weights' sum: evidences are then comparable. */
function prior0(a: number, b: number, points: Points): number {
  let sum = 0;
  for (const share of SHARES) {
    for (const ln of points.lnWeights) {
      sum += Math.exp(ln) * share ** (a - 1) * (1 - share) ** (b - 1);
    }
  }
  return Math.log(sum);
}

/**
 * P(law) of each class, which tend to go together: the pool's share of classes that grow in ohms is
 * Beta(1/2, 1/2). Sums over all assignments of laws; over twelve classes, each stands alone.
 */
export function weighLaws(lnLaws: readonly (readonly [number, number])[]): readonly number[] {
  const count = lnLaws.length;
  if (count > 12) {
    return lnLaws.map(([log, ohm]) => 1 / (1 + Math.exp(log - ohm)));
  }
  const sums = new Float64Array(count);
  let total = 0;
  const base = lnLaws.reduce((sum, [log, ohm]) => sum + Math.max(log, ohm), 0);
  for (let mask = 0; mask < 1 << count; mask++) {
    let ln = -base;
    let ohms = 0;
    for (let c = 0; c < count; c++) {
      const ohm = (mask >> c) & 1;
      ohms += ohm;
      ln += lnLaws[c]![ohm]!;
    }
    let prior = 1;
    for (let i = 0; i < ohms; i++) prior *= (i + 0.5) / (i + 1);
    for (let i = 0; i < count - ohms; i++) prior *= (i + 0.5) / (ohms + i + 1);
    const weight = Math.exp(ln) * prior;
    total += weight;
    for (let c = 0; c < count; c++) if ((mask >> c) & 1) sums[c]! += weight;
  }
  return Array.from(sums, (sum) => sum / total);
}
