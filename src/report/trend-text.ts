import { civilDay } from "../domain/calendar.ts";
import type { Estimate } from "../domain/findings.ts";
import type { CleaningScore } from "../history/cleaning-record.ts";
import type { Observation } from "../history/contact-history.ts";
import type { CircuitTrend, ClassTrend, ContactTrend, PoolTrend } from "../history/trend.ts";
import {
  circuitName,
  counted,
  ohmsFigures,
  ohmsText,
  percentText,
  sentence,
  voltsText,
} from "./names.ts";
import { unknownLoad } from "./unknown-load.ts";

const MONTHS = [
  ...["January", "February", "March", "April", "May", "June"],
  ...["July", "August", "September", "October", "November", "December"],
] as const;

/** `20 June`, with its year where that is not `year`. */
export function dayWords(day: number, year: number): string {
  const civil = civilDay(day);
  const words = `${civil.dayOfMonth} ${MONTHS[civil.month - 1]}`;
  return civil.year === year ? words : `${words} ${civil.year}`;
}

/** `12 % a week (8 to 17)` from growth in ln ohms a week; `no growth` where all of it is under 0. */
export function growthWords({ median, low, high }: Estimate): string {
  if (high < 0) return "no growth";
  const percent = (growth: number): string => {
    const value = Math.round(100 * Math.expm1(growth));
    return value < 0 ? `−${-value}` : `${value}`;
  };
  return `${percent(median)} % a week (${percent(low)} to ${percent(high)})`;
}

/** `: at most 9 % a week`, where that says anything. */
function atMost({ high }: Estimate): string {
  const percent = Math.round(100 * Math.expm1(high));
  return percent > 0 ? `: at most ${percent} % a week` : "";
}

const resolved = ({ sight }: Observation): boolean => sight.kind === "resolved";

/** What a walk saw of a contact: `0.31 Ω`, or `under 12 Ω` where it saw no more than that. */
function seenWords({ sight }: Observation, unit: PoolTrend["resistanceUnit"]): string {
  if (sight.kind === "resolved") return ohmsText(Math.exp(sight.logOhms), unit);
  if (sight.kind === "unseen") return "what this meter cannot see";
  if (sight.high === Number.POSITIVE_INFINITY) return "open";
  const high = ohmsText(Math.exp(sight.high), unit);
  return sight.low === Number.NEGATIVE_INFINITY
    ? `under ${high}`
    : `${ohmsFigures(Math.exp(sight.low))} to ${high}`;
}

/** Among dozens of contacts a few seem to creep by chance alone: only what is this sure is told. */
const SURE_OF_CREEP = 0.98;

/** The sentence about one contact: how fast, how much now, what the last cleaning did. */
function contactWords(contact: ContactTrend, trend: PoolTrend, year: number): string {
  const { segments, ohms, growth, floor } = contact;
  const unit = trend.resistanceUnit;
  const seen = segments.some(({ observations }) => observations.some(resolved));
  const range = `${ohmsFigures(ohms.low)} to ${ohmsText(ohms.high, unit)}`;
  const parts = seen
    ? [growthWords(growth), `now ${ohmsText(ohms.median, unit)} (${range})`]
    : [`no walk has seen it grow${atMost(growth)}`];
  const last = segments.at(-1)!;
  const first = last.observations[0];
  if (last.begunBy !== "first walk") {
    const came = first === undefined ? "not read since" : `came back to ${seenWords(first, unit)}`;
    parts.push(`${last.begunBy} ${dayWords(last.begun, year)}, ${came}`);
  }
  if (floor.floors.length > 1 && floor.rising > SURE_OF_CREEP) {
    const times = ohmsFigures(Math.exp(floor.creep.median));
    parts.push(
      `what cleaning leaves grows ${times}-fold a year (${percentText(floor.rising)} sure)`,
    );
  }
  return parts.join("; ");
}

const contactName = ({ lane, connector }: { lane: unknown; connector: string }): string =>
  `Lane ${lane} ${connector}`;

/** When one circuit crosses its limit. */
function crossingWords(circuit: CircuitTrend, year: number): string {
  const { crossing, limitVolts, point, from, willCross, lookAgain } = circuit;
  const limit = voltsText(limitVolts);
  const look = `look again by ${dayWords(lookAgain, year)}`;
  if (crossing.median <= from) return `${point} reading is at or under ${limit} now`;
  if (!Number.isFinite(crossing.median)) {
    const chance = `${percentText(willCross)} that it does`;
    return `${point} reading not expected to reach ${limit} within five years (${chance}); ${look}`;
  }
  const low = crossing.low <= from ? "now" : dayWords(crossing.low, year);
  const high = Number.isFinite(crossing.high) ? dayWords(crossing.high, year) : "never";
  const when = `${dayWords(crossing.median, year)} (${low} to ${high})`;
  return `${point} reading reaches ${limit} about ${when}; ${look}`;
}

function circuitLines(circuit: CircuitTrend, trend: PoolTrend, year: number): readonly string[] {
  const { lane, device, volts, driver } = circuit;
  const contact = trend.contacts.find(
    (one) => one.lane === lane && one.device === device && one.point === driver,
  )!;
  const now = `reads about ${voltsText(volts.median)} (${volts.low.toFixed(2)} to ${volts.high.toFixed(2)})`;
  return [
    `  ${sentence(circuitName(lane, device))}: ${now}; ${crossingWords(circuit, year)}.`,
    `    ${contactName(contact)}: ${contactWords(contact, trend, year)}.`,
  ];
}

function classLine(one: ClassTrend, trend: PoolTrend): string {
  const reach = 1.6449 * one.growthError;
  const mean = { median: one.growth, low: one.growth - reach, high: one.growth + reach };
  const apart = Math.round(100 * Math.expm1(one.betweenContacts));
  const hold =
    one.holdTime === null
      ? ""
      : `; a cleaning that helped holds ${one.holdTime.meanWeeks.toFixed(0)} weeks on average`;
  const contacts = counted(one.contacts, "contact");
  const seen = trend.contacts.some(
    ({ point, segments }) =>
      point === one.point && segments.some(({ observations }) => observations.some(resolved)),
  );
  if (!seen) return `  ${sentence(one.connector)}: no walk has seen any of ${contacts} grow.`;
  return `  ${sentence(one.connector)}: ${growthWords(mean)}, ${contacts} that differ by ±${apart}${hold}.`;
}

function cleaningLine(score: CleaningScore, trend: PoolTrend, year: number): string {
  const unit = trend.resistanceUnit;
  const contact = trend.contacts.find(
    ({ lane, device, point }) =>
      lane === score.lane && device === score.device && point === score.point,
  )!;
  const at = contact.segments.findIndex(
    ({ begun, begunBy }) => begun === score.day && begunBy === "cleaned",
  );
  const before = contact.segments[at - 1]?.observations.at(-1);
  const after = contact.segments[at]?.observations[0];
  const what = [before, after].map((one) =>
    one === undefined ? "not read" : seenWords(one, unit),
  );
  const verdict =
    before === undefined || after === undefined
      ? "not to be judged"
      : score.hadTrouble < 0.5
        ? "nothing to cure"
        : `film ${percentText(score.film)}`;
  const weeks = score.weeksHeld?.toFixed(0);
  const held = {
    trouble: score.weeksHeld === 0 ? ", did not hold" : `, held ${weeks} weeks`,
    "next work": `, held at least ${weeks} weeks`,
    "last walk": `, still holding after ${weeks} weeks`,
    none: "",
  }[score.heldUntil ?? "none"];
  const where = `${contactName(contact)} (${score.device})`;
  return `  ${dayWords(score.day, year)}, ${where}: ${what.join(" to ")}; ${verdict}${held}.`;
}

function flagLines(trend: PoolTrend, year: number): readonly string[] {
  return trend.circuits
    .flatMap(({ charts }) => charts)
    .flatMap(({ lane, device, point, readings }) =>
      readings
        .filter(({ flagged }) => flagged)
        .map((reading) => ({ ...reading, where: `${circuitName(lane, device)} ${point}` })),
    )
    .toSorted((a, b) => b.day - a.day)
    .map(
      ({ where, day, volts, expected }) =>
        `  ${dayWords(day, year)}, ${where}: read ${voltsText(volts)} where ` +
        `${voltsText(expected)} was expected.`,
    );
}

/** At most this many lines under one heading; the rest is in the JSON output. */
const MOST_LINES = 12;

function section(heading: string, lines: readonly string[], most = MOST_LINES): readonly string[] {
  if (lines.length === 0) return [];
  const left = lines.length - most;
  return [
    "",
    heading,
    ...lines.slice(0, most),
    ...(left > 0 ? [`  … and ${left} more (--json).`] : []),
  ];
}

/** The season in words: what crosses first, how fast each class grows, what cleaning did. */
export function trendText(trend: PoolTrend): string {
  const first = trend.walks[0]!;
  const last = trend.walks.at(-1)!;
  const { year } = civilDay(last.day);
  const cleanings = trend.cleanings.classes
    .flatMap((one) => one.cleanings)
    .toSorted((a, b) => b.day - a.day);
  const count = trend.walks.length === 1 ? "one walk" : `${trend.walks.length} walks`;
  const lines = [
    `${trend.pool}: ${count}, ${dayWords(first.day, year)} to ${dayWords(last.day, year)}, ` +
      `about every ${trend.rhythm} days.`,
    ...section(
      "What reaches its limit first (dates: 80 %, volts and growth: 90 %)",
      trend.circuits.flatMap((circuit) => circuitLines(circuit, trend, year)),
      2 * MOST_LINES,
    ),
    ...section(
      "Growth by class of connector",
      trend.classes.map((one) => classLine(one, trend)),
    ),
    ...section(
      "Cleanings, the latest first",
      cleanings.map((score) => cleaningLine(score, trend, year)),
    ),
    ...section("Steps that growth does not explain, the latest first", flagLines(trend, year)),
    "",
    "Dates hold if nothing is cleaned or breaks and every contact goes on growing as it has.",
    ...(trend.resistanceUnit === "ohm" ? [] : [unknownLoad]),
  ];
  return `${lines.join("\n")}\n`;
}
