import type { Estimate } from "../domain/findings.ts";
import { fault, ok, type Result } from "../domain/result.ts";
import type { Volts } from "../domain/units.ts";
import { chiSquaredQuantile } from "../numerics/chi-squared.ts";
import { fisherTail } from "../numerics/fisher-f.ts";
import { type Effect, type GaugeAnova, gaugeAnova } from "./gauge-anova.ts";

/** One reading of a study in which several people read several points several times. */
export interface GaugeReading {
  readonly point: string;
  readonly by: string;
  readonly volts: Volts;
}

/** Where the differences between readings come from. */
export interface GaugeStudy {
  /** Points that were read [whole]. */
  readonly points: number;
  /** People who read [whole]. */
  readonly people: number;
  /** Readings of each person on each point [whole]. */
  readonly repeats: number;
  /** Same person, same point, again: standard deviation and 90 % interval [V]. */
  readonly repeatability: Estimate;
  /** Different persons: standard deviation [V]. */
  readonly reproducibility: number;
  /** Both together: standard deviation of a reading by anybody [V]. */
  readonly gauge: number;
  /** Between the points themselves: standard deviation [V]. */
  readonly betweenPoints: number;
  /** Share of the gauge in the whole variance [share]. */
  readonly contribution: number;
  /** Share of the gauge in the whole standard deviation [share]. */
  readonly shareOfSpread: number;
  /** Groups of points that the gauge can tell apart [whole]. */
  readonly distinctCategories: number;
  /** Two readings by one person on one point differ by less, 19 times in 20 [V]. */
  readonly repeatabilityLimit: number;
  /** Two readings by different persons on one point differ by less, 19 times in 20 [V]. */
  readonly reproducibilityLimit: number;
  /**
   * P of so large a person-by-point effect, were there none; over 0.25 it joins the repeats [P].
   */
  readonly interactionP: number;
  readonly interactionPooled: boolean;
  readonly anova: GaugeAnova;
}

/** Why a study cannot be analysed: it needs every person on every point, as often. */
export type GaugeFault =
  | { readonly kind: "too-small"; readonly points: number; readonly people: number }
  | { readonly kind: "no-repeats" }
  | {
      readonly kind: "unbalanced";
      readonly point: string;
      readonly by: string;
      readonly found: number;
      readonly expected: number;
    };

/**
 * Repeatability and reproducibility by analysis of variance: points and people crossed, both
 * random, with their interaction, which is pooled with the repeats where its P is over 0.25.
 *
 * Source: AIAG, Measurement Systems Analysis, 4th ed., ch. III (analysis of variance method); the
 * limits are 1.96 * sqrt(2) standard deviations, ISO 5725-6:1994, 4.1. A negative estimate of a
 * variance counts as 0.
 *
 * @param poolAbove P(so large an interaction by chance) over which it joins the repeats.
 */
export function gaugeStudy(
  readings: readonly GaugeReading[],
  poolAbove = 0.25,
): Result<GaugeStudy, GaugeFault> {
  const points = [...new Set(readings.map(({ point }) => point))];
  const people = [...new Set(readings.map(({ by }) => by))];
  const cells = points.map((point) =>
    people.map((by) =>
      readings.filter((each) => each.point === point && each.by === by).map(({ volts }) => volts),
    ),
  );
  const unusable = whyUnusable(cells, points, people);
  if (unusable) return fault(unusable);
  const anova = gaugeAnova(cells);
  const interactionP = fisherTail(
    ratio(anova.interaction, anova.repeat),
    anova.interaction.degreesOfFreedom,
    anova.repeat.degreesOfFreedom,
  );
  const repeats = cells[0]![0]!.length;
  const counts = { points: points.length, people: people.length, repeats };
  const interactionPooled = interactionP > poolAbove;
  const parts = interactionPooled ? pooledParts(anova, counts) : crossedParts(anova, counts);
  return ok({ ...counts, ...summary(parts), interactionP, interactionPooled, anova });
}

/** Variance components [V²] and how well the repeats' own is known. */
interface Parts {
  readonly repeat: number;
  readonly repeatFreedom: number;
  readonly people: number;
  readonly points: number;
}

interface Counts {
  readonly points: number;
  readonly people: number;
  readonly repeats: number;
}

function pooledParts(anova: GaugeAnova, { points, people, repeats }: Counts): Parts {
  const { interaction, repeat } = anova;
  const repeatFreedom = interaction.degreesOfFreedom + repeat.degreesOfFreedom;
  const pooled = (interaction.sumOfSquares + repeat.sumOfSquares) / repeatFreedom;
  return {
    repeat: pooled,
    repeatFreedom,
    people: Math.max(0, (meanSquare(anova.people) - pooled) / (points * repeats)),
    points: Math.max(0, (meanSquare(anova.points) - pooled) / (people * repeats)),
  };
}

function crossedParts(anova: GaugeAnova, { points, people, repeats }: Counts): Parts {
  const [repeat, interaction] = [meanSquare(anova.repeat), meanSquare(anova.interaction)];
  const crossed = Math.max(0, (interaction - repeat) / repeats);
  const byPerson = Math.max(0, (meanSquare(anova.people) - interaction) / (points * repeats));
  return {
    repeat,
    repeatFreedom: anova.repeat.degreesOfFreedom,
    people: byPerson + crossed,
    points: Math.max(0, (meanSquare(anova.points) - interaction) / (people * repeats)),
  };
}

function summary({ repeat, repeatFreedom, people, points }: Parts) {
  const gauge = repeat + people;
  const whole = gauge + points;
  const repeatSd = Math.sqrt(repeat);
  const sdAt = (p: number) =>
    repeatSd * Math.sqrt(repeatFreedom / chiSquaredQuantile(p, repeatFreedom));
  return {
    repeatability: { median: repeatSd, low: sdAt(0.95), high: sdAt(0.05) },
    reproducibility: Math.sqrt(people),
    gauge: Math.sqrt(gauge),
    betweenPoints: Math.sqrt(points),
    contribution: whole > 0 ? gauge / whole : 0,
    shareOfSpread: whole > 0 ? Math.sqrt(gauge / whole) : 0,
    distinctCategories: gauge > 0 ? Math.floor(1.41 * Math.sqrt(points / gauge)) : Infinity,
    repeatabilityLimit: 1.96 * Math.SQRT2 * repeatSd,
    reproducibilityLimit: 1.96 * Math.SQRT2 * Math.sqrt(gauge),
  };
}

function whyUnusable(
  cells: readonly (readonly (readonly number[])[])[],
  points: readonly string[],
  people: readonly string[],
): GaugeFault | null {
  if (points.length < 2 || people.length < 2) {
    return { kind: "too-small", points: points.length, people: people.length };
  }
  const expected = Math.max(...cells.flat().map(({ length }) => length));
  for (const [i, row] of cells.entries()) {
    for (const [j, { length }] of row.entries()) {
      if (length !== expected) {
        return { kind: "unbalanced", point: points[i]!, by: people[j]!, found: length, expected };
      }
    }
  }
  return expected < 2 ? { kind: "no-repeats" } : null;
}

const meanSquare = ({ sumOfSquares, degreesOfFreedom }: Effect): number =>
  sumOfSquares / degreesOfFreedom;

/** F of two effects; 0 where both are nothing (every reading of a point the same). */
const ratio = (above: Effect, below: Effect): number =>
  above.sumOfSquares === 0 ? 0 : meanSquare(above) / meanSquare(below);
