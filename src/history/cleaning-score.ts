import { dayText } from "../domain/calendar.ts";
import type { Estimate } from "../domain/findings.ts";
import { type CircuitName, circuitName } from "../domain/place.ts";
import type { LogNormal } from "../domain/pool.ts";
import { normalCdf, normalDensity } from "../numerics/normal.ts";
import type { ContactHistory, Observation, Segment } from "./contact-history.ts";
import type { Sight } from "./sight.ts";

/** One cleaning, scored on one contact from the walks before and after it. */
export interface CleaningScore extends CircuitName {
  /** The contact it is scored on: for a connector, the one that was worst before. */
  readonly point: string;
  /** Day number of the cleaning (see domain/calendar.ts) [day]. */
  readonly day: number;
  /** The same as text, `YYYY-MM-DD`. */
  readonly date: string;
  /** Minutes that it took, where the log says so [min]. */
  readonly minutes: number | null;
  /** In the last walk before [Ω]; null where there was none since the work before. */
  readonly beforeOhms: Estimate | null;
  /** In the first walk after [Ω]; null where there is none before the next work. */
  readonly afterOhms: Estimate | null;
  /** P(fouled or open before it): how much there was to cure. */
  readonly hadTrouble: number;
  /**
   * P(the trouble was film | there was trouble, and what the walks showed); that of the class where
   * no walk shows what came of it.
   */
  readonly film: number;
  /**
   * Share of the rise (in log ohms, over the floor) that went: 1 all, 0 none, below 0 worse [1; at
   * most 1].
   */
  readonly recovered: number | null;
  /**
   * Weeks from the cleaning to the first walk that found trouble again, or for as long as known. Null
   * where no walk tells: there was none, or the first came so late that a cure may have worn off.
   */
  readonly weeksHeld: number | null;
  /** What ended `weeksHeld`: anything but `trouble` makes it a lower bound. */
  readonly heldUntil: "trouble" | "next work" | "last walk" | null;
}

/** Standard deviation by which cleaning moves a contact whose trouble is not film [ln ohm]. */
const METAL_MOVES = 0.5;
/** P(trouble) from which a walk counts as having found some. */
const TROUBLE = 0.5;

/** Whether a walk counts as having found trouble. */
export const foundTrouble = ({ trouble }: { readonly trouble: number }): boolean =>
  trouble > TROUBLE;

/** A contact under this is sound [ln ohm]: between the two laws of the pool file's defaults. */
const SOUND = Math.log(5);

/** Likelihood of what a walk showed, for a contact at `mean` ln ohms, give or take. */
function likelihood(sight: Sight, mean: number, variance: number): number {
  switch (sight.kind) {
    case "unseen":
      return 1;
    case "resolved": {
      const sd = Math.sqrt(variance + sight.error ** 2);
      return normalDensity((sight.logOhms - mean) / sd) / sd;
    }
    case "either": {
      const sd = Math.sqrt(variance + sight.error ** 2);
      const sound = normalCdf((SOUND - mean) / Math.sqrt(variance));
      return sound + (sight.odds * normalDensity((sight.logOhms - mean) / sd)) / sd;
    }
    case "bound": {
      const sd = Math.sqrt(variance);
      return normalCdf((sight.high - mean) / sd) - normalCdf((sight.low - mean) / sd);
    }
  }
}

/** ln ohms of an observation, as well as it is known, and its variance. */
function about({ sight, ohms }: Observation): { mean: number; variance: number } {
  if (sight.kind === "resolved" || sight.kind === "either")
    return { mean: sight.logOhms, variance: sight.error ** 2 };
  if (Number.isFinite(ohms.median)) return { mean: Math.log(ohms.median), variance: 1 };
  return { mean: sight.kind === "bound" ? sight.low : 0, variance: 1 };
}

/** A cleaning with the two likelihoods that its film probability is made of. */
export interface Case {
  readonly score: Omit<CleaningScore, "film">;
  readonly ifFilm: number;
  readonly ifMetal: number;
}

/** Growth of one contact [ln ohm a week] and its variance. */
export interface Growth {
  readonly growth: number;
  readonly growthVariance: number;
}

/** A cleaning of what was likelier sound than not has cured nothing, however well it reads after. */
export const hadSomethingToCure = ({ hadTrouble }: Pick<CleaningScore, "hadTrouble">): boolean =>
  hadTrouble >= TROUBLE;

/** How much a case counts: nothing without a walk on either side. */
export const weightOf = ({ score }: Case): number =>
  score.beforeOhms === null || score.afterOhms === null ? 0 : score.hadTrouble;

/** P(film) of a case, where `share` of all trouble is film. */
export const filmOf = ({ ifFilm, ifMetal }: Case, share: number): number => {
  const film = share * ifFilm;
  const total = film + (1 - share) * ifMetal;
  return total > 0 ? film / total : share;
};

/** `likelyMetal`: what the first walk found is likelier where the cleaning did nothing. */
function held(
  segment: Segment,
  next: Segment | undefined,
  likelyMetal: boolean,
): Pick<CleaningScore, "weeksHeld" | "heldUntil"> {
  const { observations } = segment;
  const again = observations.findIndex(foundTrouble);
  if (again > 0) return { weeksHeld: observations[again]!.weeks, heldUntil: "trouble" };
  // Trouble in the very first walk: it never held, or nobody saw for how long.
  if (again === 0) return { weeksHeld: likelyMetal ? 0 : null, heldUntil: "trouble" };
  if (observations.length === 0) return { weeksHeld: null, heldUntil: null };
  return next === undefined
    ? { weeksHeld: observations.at(-1)!.weeks, heldUntil: "last walk" }
    : { weeksHeld: (next.begun - segment.begun) / 7, heldUntil: "next work" };
}

/**
 * Every cleaning of one contact. Between a cleaning and the walk that looks at it, and between the
 * walks on either side, the contact grows as it does.
 */
export function casesOf(
  history: ContactHistory,
  sound: LogNormal,
  { growth, growthVariance }: Growth,
): readonly Case[] {
  const { point, segments } = history;
  const floor = Math.log(sound.medianOhms);
  return segments.flatMap((segment, s): Case[] => {
    if (segment.begunBy !== "cleaned") return [];
    const before = segments[s - 1]?.observations.at(-1);
    const after = segment.observations[0];
    const was = before && about(before);
    const is = after && about(after);
    const moved = was && is && was.mean > floor ? (was.mean - is.mean) / (was.mean - floor) : null;
    const ifCured =
      after &&
      likelihood(
        after.sight,
        floor + growth * after.weeks,
        sound.logSd ** 2 + growthVariance * after.weeks ** 2,
      );
    const between = after && before ? (after.day - before.day) / 7 : 0;
    const ifNot =
      was &&
      after &&
      likelihood(
        after.sight,
        was.mean + growth * between,
        was.variance + METAL_MOVES ** 2 + growthVariance * between ** 2,
      );
    const [ifFilm, ifMetal] =
      ifCured === undefined || ifNot === undefined ? [1, 1] : [ifCured, ifNot];
    return [
      {
        score: {
          ...circuitName(history),
          point,
          day: segment.begun,
          date: dayText(segment.begun),
          minutes: segment.minutes,
          beforeOhms: before?.ohms ?? null,
          afterOhms: after?.ohms ?? null,
          hadTrouble: before?.trouble ?? 0,
          recovered: moved,
          ...held(segment, segments[s + 1], ifMetal >= ifFilm),
        },
        ifFilm,
        ifMetal,
      },
    ];
  });
}
