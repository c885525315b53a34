import { normalDensity, normalQuantile } from "../normal.ts";
import type { Law } from "./facility-text.ts";
import { below } from "./shown-chance.ts";

/** A value drawn from a law of our choice, with (its density under the model)/(its density here). */
export interface Draw {
  readonly ohms: number;
  readonly weight: number;
}

/** A reading's view of one resistance. */
export interface Guide {
  /** What was shown, and how widely to look around it [V]. */
  readonly volts: number;
  readonly width: number;
  readonly emf: number;
  /** Resistance between source and meter apart from the one sought, and the meter's load [ohm]. */
  readonly before: number;
  readonly load: number;
  /** `inSeries`, or: the resistance lies across, so many ohms behind the meter. */
  readonly between: number;
}

/** Mark of a resistance that lies between source and meter. */
export const inSeries = -1;

type Mixture = readonly (Law & { readonly share: number })[];

/** Density of a log-normal mixture [1/ohm]. */
const densityOf = (mixture: Mixture, ohms: number): number => {
  let sum = 0;
  for (const { share, median_ohms, log_sd } of mixture) {
    sum += (share * normalDensity(Math.log(ohms / median_ohms) / log_sd)) / log_sd;
  }
  return sum / ohms;
};

/** A log-normal's value at `u` of its distribution. */
export const logNormalAt = (law: Law, u: number): number =>
  law.median_ohms * Math.exp(law.log_sd * normalQuantile(u));

const ofMixture = (mixture: Mixture, which: number, u: number): number => {
  let left = which;
  for (const part of mixture) {
    if (left < part.share) return logNormalAt(part, u);
    left -= part.share;
  }
  return logNormalAt(mixture.at(-1)!, u);
};

/** Load and what lies across, in parallel, `x` ohms from the meter to the far side and back. */
const loaded = (x: number, load: number): number => (x === 0 ? 0 : 1 / (1 / x + 1 / load));

const voltsAt = ({ emf, before, load, between }: Guide, ohms: number): number => {
  if (between === inSeries) return (emf * load) / (load + before + ohms);
  const p = loaded(between + ohms, load);
  return (emf * p) / (before + p);
};

const ohmsAt = ({ emf, before, load, between }: Guide, volts: number): number =>
  between === inSeries
    ? load * (emf / volts - 1) - before
    : 1 / ((emf - volts) / (before * volts) - 1 / load) - between;

/** Size of the slope of `voltsAt` [V/ohm]. */
const slopeAt = ({ emf, before, load, between }: Guide, ohms: number): number => {
  if (between === inSeries) return (emf * load) / (load + before + ohms) ** 2;
  const p = loaded(between + ohms, load);
  const dp = (load / (load + between + ohms)) ** 2;
  return (emf * before * dp) / (before + p) ** 2;
};

/** Share of draws that come from the model's own law, whatever the readings say. */
const ownShare = 0.3;

/** Chances, under a guide's normal law, below the lowest and the highest voltage that can be. */
const lowEnd = (guide: Guide): number =>
  guide.between === inSeries
    ? below(-guide.volts / guide.width)
    : below((voltsAt(guide, 0) - guide.volts) / guide.width);

const highEnd = (guide: Guide): number => {
  const { emf, before, load, between, volts, width } = guide;
  const top = between === inSeries ? voltsAt(guide, 0) : (emf * load) / (before + load);
  return below((top - volts) / width);
};

const enough = 1e-6;

/** At most this many guides are listened to. */
const mostGuides = 16;
const lows = new Float64Array(mostGuides);
const spans = new Float64Array(mostGuides);

/**
 * Draws a resistance of `mixture` where the readings want it: a share from the mixture itself, the
 * rest around what each guide says, weighted by density over density so that every sum stays the
 * model's own. `which` and `u` are uniform in (0, 1).
 */
export const guidedDraw = (
  mixture: Mixture,
  guides: readonly Guide[],
  which: number,
  u: number,
): Draw => {
  const count = Math.min(mostGuides, guides.length);
  let usable = 0;
  for (let g = 0; g < count; g++) {
    lows[g] = lowEnd(guides[g]!);
    spans[g] = highEnd(guides[g]!) - lows[g]!;
    if (spans[g]! > enough) usable++;
  }
  if (usable === 0) return { ohms: ofMixture(mixture, which, u), weight: 1 };
  let ohms = 0;
  if (which < ownShare) ohms = ofMixture(mixture, which / ownShare, u);
  else {
    let left = Math.floor(((which - ownShare) / (1 - ownShare)) * usable);
    for (let g = 0; g < count; g++) {
      if (spans[g]! <= enough || left-- !== 0) continue;
      const guide = guides[g]!;
      const volts = guide.volts + guide.width * normalQuantile(lows[g]! + u * spans[g]!);
      ohms = ohmsAt(guide, volts);
    }
  }
  if (!(ohms > 1e-9 && ohms < 1e15)) return { ohms: 1, weight: 0 };
  const own = densityOf(mixture, ohms);
  let guided = 0;
  for (let g = 0; g < count; g++) {
    if (spans[g]! <= enough) continue;
    const guide = guides[g]!;
    const z = (voltsAt(guide, ohms) - guide.volts) / guide.width;
    guided += (normalDensity(z) * slopeAt(guide, ohms)) / (guide.width * spans[g]! * usable);
  }
  return { ohms, weight: own / (ownShare * own + (1 - ownShare) * guided) };
};
