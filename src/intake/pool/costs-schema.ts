import { z } from "zod";
import {
  assumed,
  assumedCheckWeeks,
  assumedCosts,
  assumedLookMinutes,
} from "../../domain/assumed.ts";
import { connectorRanges } from "../../domain/assumed-connectors.ts";
import type { Assumed, AssumedRange } from "../../domain/assumed-figure.ts";
import type { Sharing } from "../../domain/circuit.ts";
import {
  type ConnectorCosts,
  type Costs,
  connectorDefaults,
  type Figure,
  type Practice,
} from "../../domain/costs.ts";
import { NO_CURRENCY } from "../../domain/currency.ts";
import { closed, name, numberIn, figure as plainFigure, wholeIn } from "../schema-words.ts";

/**
 * A figure of the pool: one number, or `{ value, low, high }` where the facility knows the range.
 * With one number, the range is the standard one, widened to hold it.
 */
function figure(of: AssumedRange) {
  const allowed = `${of.unit}, from ${of.least} to ${of.most}`;
  const number = numberIn(of.least, of.most, allowed);
  return z
    .union([number, closed({ value: number, low: number, high: number })], {
      error: `${allowed}, or value, low and high of it`,
    })
    .default(of.value)
    .describe(`${of.meaning} [${of.unit}]; range ${of.low} to ${of.high} if none is given.`);
}

const own = (of: Assumed) => plainFigure(of, { default: false });

const connector = closed({
  part: own(connectorRanges.part),
  clean_minutes: own(connectorRanges.cleanMinutes),
  replace_minutes: own(connectorRanges.replaceMinutes),
  life_years: own(connectorRanges.lifeYears),
  life_shape: own(connectorRanges.lifeShape),
  age_years: own(connectorRanges.ageYears),
});

const practice = closed({
  clean_under: numberIn(0, assumed.limitVolts.most, `volts, up to ${assumed.limitVolts.most}`)
    .optional()
    .describe("Clean where the last point reads under this [V]."),
  clean_every: numberIn(1, 520, "weeks, 1 to 520")
    .optional()
    .describe("Clean every so many weeks."),
  replace_after: wholeIn(1, 3, "failed cleanings in a row, 1 to 3")
    .optional()
    .describe("Replace after so many failed cleanings in a row."),
});

const currencyAllowed = "a currency code of three capital letters, such as EUR (ISO 4217)";

/** The pool file's `costs` section: what money and time are reckoned with. */
export const costsSchema = closed({
  currency: z
    .string({ error: currencyAllowed })
    .regex(/^[A-Z]{3}$/, { error: currencyAllowed })
    .default(NO_CURRENCY)
    .describe("ISO 4217 code; XXX, no currency, prints no code."),
  labour_per_hour: figure(assumedCosts.labourPerHour),
  discount_rate: figure(assumedCosts.discountRate),
  horizon_years: figure(assumedCosts.horizonYears),
  meets_per_season: figure(assumedCosts.meetsPerSeason),
  lanes_at_risk: wholeIn(1, 99, "how many lanes a meet swims in, 1 to 99")
    .optional()
    .describe("Lanes that a meet swims in; left out, all."),
  lost_lane: figure(assumedCosts.lostLane),
  loss_chance: figure(assumedCosts.lossChance),
  own_failure: figure(assumedCosts.ownFailure),
  fallback_cost: figure(assumedCosts.fallbackCost),
  check_weeks: plainFigure(assumedCheckWeeks),
  look_minutes: plainFigure(assumedLookMinutes),
  practice: practice
    .optional()
    .describe(
      "How connectors are kept today, for the memo to compare with; left out, it does not.",
    ),
  connectors: z
    .record(name("a point of the chain"), connector, {
      error: "a mapping from points of the chain to their figures",
    })
    .default({})
    .describe("By point of the chain: what differs from the standard figures."),
});

/** The section as parsed. */
export type CostsFile = z.output<typeof costsSchema>;

/** A figure with its range, which holds the value. */
function toFigure(given: number | Figure, of: AssumedRange): Figure {
  if (typeof given !== "number") return given;
  return { value: given, low: Math.min(given, of.low), high: Math.max(given, of.high) };
}

function toConnector(
  given: CostsFile["connectors"][string] | undefined,
  standard: ConnectorCosts,
): ConnectorCosts {
  return {
    part: given?.part ?? standard.part,
    cleanMinutes: given?.clean_minutes ?? standard.cleanMinutes,
    replaceMinutes: given?.replace_minutes ?? standard.replaceMinutes,
    lifeYears: given?.life_years ?? standard.lifeYears,
    lifeShape: given?.life_shape ?? standard.lifeShape,
    ageYears: given?.age_years ?? standard.ageYears,
  };
}

const toPractice = (given: CostsFile["practice"]): Practice | null =>
  given === undefined
    ? null
    : {
        cleanUnder: given.clean_under ?? null,
        cleanEvery: given.clean_every ?? null,
        replaceAfter: given.replace_after ?? null,
      };

/** The section as the program's own words, every connector of the chain filled in. */
export const toCosts = (
  section: CostsFile,
  links: readonly { readonly point: string; readonly sharedBy: Sharing }[],
): Costs => ({
  currency: section.currency,
  labourPerHour: toFigure(section.labour_per_hour, assumedCosts.labourPerHour),
  discountRate: toFigure(section.discount_rate, assumedCosts.discountRate),
  horizonYears: toFigure(section.horizon_years, assumedCosts.horizonYears),
  meetsPerSeason: toFigure(section.meets_per_season, assumedCosts.meetsPerSeason),
  lanesAtRisk: section.lanes_at_risk ?? null,
  lostLane: toFigure(section.lost_lane, assumedCosts.lostLane),
  lossChance: toFigure(section.loss_chance, assumedCosts.lossChance),
  ownFailure: toFigure(section.own_failure, assumedCosts.ownFailure),
  fallbackCost: toFigure(section.fallback_cost, assumedCosts.fallbackCost),
  checkWeeks: section.check_weeks,
  lookMinutes: section.look_minutes,
  practice: toPractice(section.practice),
  connectors: Object.fromEntries(
    links.map((link) => [
      link.point,
      toConnector(section.connectors[link.point], connectorDefaults[link.sharedBy]),
    ]),
  ),
});

/** Rules of the section that span several keys: place and message of each one broken. */
export function costsRules(
  section: CostsFile,
  points: readonly string[],
  lanes: number,
): { readonly place: string; readonly message: string }[] {
  const strays = Object.keys(section.connectors)
    .filter((point) => !points.includes(point))
    .map((point) => ({
      place: `costs.connectors.${point}`,
      message: `'${point}' is no point of the chain; allowed: ${points.join(", ")}`,
    }));
  const ranges = Object.values(assumedCosts).flatMap(({ key }) => {
    const given = section[key as keyof typeof section] as number | Figure;
    if (typeof given === "number" || (given.low <= given.value && given.value <= given.high))
      return [];
    const message = `found ${given.low}, ${given.value}, ${given.high}; allowed: low <= value <= high`;
    return [{ place: `costs.${key}`, message }];
  });
  const atRisk = section.lanes_at_risk ?? lanes;
  const tooMany =
    atRisk > lanes
      ? [
          {
            place: "costs.lanes_at_risk",
            message: `found ${atRisk}; allowed: at most ${lanes}, the pool's lanes`,
          },
        ]
      : [];
  return [...strays, ...ranges, ...tooMany];
}
