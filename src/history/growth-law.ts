import type { AgeingLaw } from "../ageing/ageing-law.ts";
import type { ConnectorClass } from "../domain/circuit.ts";
import { TO_EDGE } from "../numerics/normal.ts";
import type { GrowthAnalysis } from "./growth/analyze-growth.ts";
import type { ReadSeason } from "./read-season.ts";

/** How the contacts at one point and of one class get worse, as all walks have it. */
export interface GrowthLaw extends AgeingLaw {
  readonly point: string;
  readonly connector: string;
  readonly class: ConnectorClass;
  /** Contacts that it was learnt from [whole]. */
  readonly contacts: number;
  /**
   * Growth in idle weeks as a share of growth in others, and how much of the time is idle [share].
   */
  readonly idle: { readonly factor: number; readonly share: number };
}

/** The laws of all groups of contacts, from the timer out. */
export function growthLaws({ groups }: ReadSeason, { fit, ahead }: GrowthAnalysis) {
  const contacts = fit.lives.flat();
  const open = 1 / Math.max(1e-9, ahead.idlePerWeek);
  const idle = {
    factor: ahead.idleFactors.reduce((sum, { factor, share }) => sum + factor * share, 0),
    share: ahead.idlePerWeek === 0 ? 0 : ahead.idleWeeks / (ahead.idleWeeks + open),
  };
  const steps = { perWeek: ahead.stepsPerWeek, touched: ahead.touched, rise: ahead.rise };
  return groups.map((group, g): GrowthLaw => {
    const { notGrowing, lnRate, spread } = fit.classes[g]!;
    const linear = fit.ohmLaw[g]!;
    return {
      ...group,
      contacts: contacts.filter(([first]) => first?.life.group === g).length,
      notGrowing: (1 - linear) * notGrowing[0]! + linear * notGrowing[1]!,
      linear,
      logRate: { median: Math.exp(lnRate[0]!), logSd: spread[0]! },
      ohmRate: { median: Math.exp(lnRate[1]!), logSd: spread[1]! },
      scatter: fit.scatter,
      steps,
      idle,
    };
  });
}

/** What contacts of a class grow by in a week: median and 90 %, in ohms or as a share of themselves. */
export function usualRate({ linear, logRate, ohmRate }: AgeingLaw) {
  const inOhms = linear > 0.5;
  const { median, logSd } = inOhms ? ohmRate : logRate;
  const reach = Math.exp(TO_EDGE * logSd);
  return { inOhms, median, low: median / reach, high: median * reach };
}
