import type { Explanation, ExplanationKind } from "../domain/findings.ts";
import type { LogNormal } from "../domain/pool.ts";
import { ohms } from "../domain/units.ts";
import type { ChainPool } from "./chain-pool.ts";
import {
  deviceBayesFactor,
  type EmfStretch,
  type QuestionedCircuit,
  sayOnEmf,
} from "./device-evidence.ts";
import { COARSE, FINE, type Fineness, sketchFactor, sketchPlain } from "./device-screen.ts";
import { type Sketched, sketched } from "./device-sketch.ts";
import { logNormalDensity } from "./emf-node.ts";
import { RULED_OUT } from "./explanations.ts";

/** What may be the matter with a circuit's device, instead of or besides its contacts. */
interface DeviceFault {
  readonly kind: ExplanationKind;
  /** P(a circuit's device is in this state). */
  readonly prior: number;
  /** Resistance across the device. */
  readonly device: LogNormal;
}

/** Engineering judgements: a closed switch of a few ohms; water or salt across a device, kilohms. */
export const STUCK: DeviceFault = {
  kind: "stuck-closed",
  prior: 0.01,
  device: { medianOhms: ohms(2), logSd: 0.8 },
};
export const LEAKING: DeviceFault = {
  kind: "leaking",
  prior: 0.02,
  device: { medianOhms: ohms(2000), logSd: 1 },
};
const FAULTS = [STUCK, LEAKING] as const;
const AT_REST = 1 - STUCK.prior - LEAKING.prior;

/** Sketched odds of less than this change no probability that is printed. */
const SLIGHT = 0.002;
/** With so many other circuits they alone say what the EMF is. */
const OTHERS_DECIDE = 4;

/**
 * Whether a circuit's device is stuck closed, or leaks: the resting circuit with a resistance across
 * its device, against the same circuit as a plain path. A coarse sketch
 * comes first, then a fine one; only what neither rules out is integrated exactly. Asks nothing of
 * a meter of unknown load: ohms of a device would mean nothing there.
 */
export function deviceFaults(asked: QuestionedCircuit): readonly Explanation[] {
  const { pool } = asked.walk;
  if (pool.meters.some(({ loadOhms }) => loadOhms === null)) return [];
  if (isRuledOut(sketchFaults(asked, COARSE), COARSE)) return [];
  const sketches = sketchFaults(asked, FINE);
  if (isRuledOut(sketches, FINE)) return [];
  const factors = FAULTS.map(({ device }, n) =>
    sketchedOdds(sketches, n) < SLIGHT
      ? sketches[n]!.factor
      : deviceBayesFactor(asked, device, sketches[n]!.stretch),
  );
  const weights = FAULTS.map(({ prior }, n) => prior * factors[n]!);
  const total = weights.reduce((sum, weight) => sum + weight, AT_REST);
  const { lane, device } = asked.circuit;
  return FAULTS.map(({ kind }, n) => ({
    kind,
    lane,
    device,
    end: null,
    probability: weights[n]! / total,
    logBayesFactor: Math.log(factors[n]!),
    ...saidOf(kind, `lane ${lane} ${device}`, pool.chain.at(-1)!.point),
  }));
}

const sketchedOdds = (sketches: readonly FaultSketch[], n: number): number =>
  (FAULTS[n]!.prior * sketches[n]!.factor) / AT_REST;

const isRuledOut = (sketches: readonly FaultSketch[], { short }: Fineness): boolean =>
  sketches.every((_, n) => sketchedOdds(sketches, n) * short < RULED_OUT / (1 - RULED_OUT));

function saidOf(kind: ExplanationKind, name: string, last: string) {
  if (kind === "stuck-closed") {
    return {
      words: `${name}: the device may be stuck closed; a closed switch pulls down the volts of its whole path.`,
      wouldTell: `disconnect the device behind the ${last} and read ${name} at the ${last} again: behind sound contacts the volts come back; or press it: a stuck device changes nothing.`,
    };
  }
  return {
    words: `${name}: the device or its ${last} may be leaking, as when it is wet; a leak draws current through contacts that are not to blame.`,
    wouldTell: `disconnect the device behind the ${last} and read ${name} at the ${last} again: what a leak takes comes back, what a fouled contact takes does not.`,
  };
}

/** A fault's sketched Bayes factor, and where the EMF has to be integrated anew for the exact one. */
interface FaultSketch {
  readonly factor: number;
  readonly stretch: EmfStretch | null;
}

/** Where the walk's other circuits decide on the EMF, at its median; else over all of its prior. */
export function sketchFaults(asked: QuestionedCircuit, fineness: Fineness): readonly FaultSketch[] {
  const { walk, emf, circuit } = asked;
  const { pool, prior } = walk;
  const own = sketched(pool, prior, circuit.readings, contaminatedByOthers(asked));
  const others = walk.lanes.flatMap(({ circuits }) => circuits.filter((one) => one !== circuit));
  if (others.length >= OTHERS_DECIDE) {
    const at = emf.estimate.median;
    const plain = sketchPlain(own, at, fineness);
    return FAULTS.map(({ device }) => ({
      factor: sketchFactor(own, at, plain, device, fineness),
      stretch: null,
    }));
  }
  const unknown = prior.links.map(({ contaminated }) => contaminated);
  const rest = others.map(({ readings }) => sketched(pool, prior, readings, unknown));
  return sketchOverEmf(pool, own, rest, fineness);
}

/** P(each link's body is contaminated | the other circuits' readings). */
function contaminatedByOthers({ walk, nodes }: QuestionedCircuit): readonly number[] {
  const { links, sharedBefore } = walk.prior;
  const sums = links.map(() => 0);
  for (const { weight, messages, bodies } of nodes) {
    const omega = bodies.map((posterior, c) =>
      posterior > 0 ? posterior / messages.likelihood[c]! : 0,
    );
    const whole = omega.reduce((sum, one) => sum + one, 0);
    for (const [i, { shared }] of links.entries()) {
      if (!shared) continue;
      const bit = 1 << sharedBefore[i]!;
      const part = omega.reduce((sum, one, c) => (c & bit ? sum + one : sum), 0);
      sums[i]! += (weight * part) / whole;
    }
  }
  return sums;
}

function sketchOverEmf(
  pool: ChainPool,
  own: Sketched,
  others: readonly Sketched[],
  fineness: Fineness,
): readonly FaultSketch[] {
  const { emf: mean, emfSd: sd } = pool.supply;
  const count = Math.ceil((2 * EMF_REACH * sd) / (EMF_STEP * sayOnEmf(own.readings)));
  const step = count === 0 ? 0 : (2 * EMF_REACH * sd) / count;
  const grid = Array.from({ length: count + 1 }, (_, i) => {
    const emf = mean + (i - count / 2) * step;
    const plain = sketchPlain(own, emf, fineness);
    const weight = others.reduce(
      (product, other) => product * sketchPlain(other, emf, fineness).whole,
      sd > 0 ? Math.exp(logNormalDensity(emf, { mean, sd })) : 1,
    );
    return { emf, plain, weight };
  });
  const whole = grid.reduce((sum, { plain, weight }) => sum + plain.whole * weight, 0);
  const most = own.most[0]!;
  return FAULTS.map(({ device }) => {
    const parts = grid.map(({ emf, plain, weight }) =>
      weight * most < UNFELT * whole
        ? 0
        : (weight * plain.whole * sketchFactor(own, emf, plain, device, fineness)) / whole,
    );
    const factor = parts.reduce((sum, part) => sum + part, 0);
    const counts = grid.filter((_, i) => parts[i]! > UNFELT * factor).map(({ emf }) => emf);
    const stretch = { low: Math.min(...counts) - step, high: Math.max(...counts) + step };
    return { factor, stretch };
  });
}

/** The EMF's prior is negligible beyond so many of its standard deviations. */
const EMF_REACH = 5;
/** Step of the EMF in what one circuit's readings tell it to. */
const EMF_STEP = 1.2;
/** What holds less than this part of the whole is left out of a sketch. */
const UNFELT = 1e-5;
