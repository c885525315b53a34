import { civilDay, dayNumber } from "../domain/calendar.ts";
import type { Estimate } from "../domain/findings.ts";
import type { Observation } from "../history/contact-history.ts";
import { usualRate } from "../history/growth-law.ts";
import type { CircuitTrend, ClassTrend, ContactTrend, PoolTrend } from "../history/trend.ts";
import { sentence } from "../words/figure-words.ts";
import { dayWords, rangeWords } from "./day-words.ts";
import { isAtLimit, leadingContact } from "./leading-contact.ts";
import {
  circuitText,
  counted,
  ohmsFigures,
  ohmsText,
  percentText,
  voltsText,
  weeksText,
} from "./names.ts";
import { cleaningLine, contactName, replacementLines, seenWords } from "./works-text.ts";
import { prose } from "./wrap-text.ts";

/** `12 % a week (8 to 17)` from growth in ln ohms a week; `no growth` where all of it is under 0. */
export function growthWords({ median, low, high }: Estimate): string {
  if (Math.round(100 * Math.expm1(high)) <= 0 && low > -0.005) return "no growth";
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

const resolved = ({ sight }: Observation): boolean =>
  sight.kind === "resolved" || sight.kind === "either";

/** Among dozens of contacts a few seem to creep by chance alone: only what is this sure is told. */
const SURE_OF_CREEP = 0.98;

/** A contact that nobody saw grow and that a walk found at fault went at once. */
const AT_FAULT = 0.5;

/** "4 April and 11 April". */
const strokeWords = ({ after, until }: NonNullable<ContactTrend["stroke"]>, year: number): string =>
  [after, until].map((day) => dayWords(dayNumber(day)!, year)).join(" and ");

/** The sentence about one contact: how fast, how much now, what the last cleaning did. */
function contactWords(contact: ContactTrend, year: number): string {
  const { segments, ohms, growth, floor } = contact;
  const seen = segments.some(({ observations }) => observations.some(resolved));
  const range = `${ohmsFigures(ohms.low)} to ${ohmsText(ohms.high)}`;
  const last = segments.at(-1)!;
  const latest = last.observations.at(-1);
  const atFault =
    latest !== undefined && latest.trouble > AT_FAULT
      ? [`at fault ${percentText(latest.trouble)} on ${dayWords(latest.day, year)}`]
      : [];
  const grows = seen ? [growthWords(growth), `now ${ohmsText(ohms.median)} (${range})`] : [];
  const parts = [...atFault, ...grows];
  if (parts.length === 0) parts.push(`no walk has seen it grow${atMost(growth)}`);
  if (contact.stroke !== null)
    parts.unshift(`fouled at a stroke between ${strokeWords(contact.stroke, year)}`);
  const first = last.observations[0];
  if (last.begunBy !== "first walk") {
    const now = last.begunBy === "replaced" ? "the new part at" : "came back to";
    const came = first === undefined ? "not read since" : `${now} ${seenWords(first)}`;
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

/** When one circuit crosses its limit: a date is given only with a fall that was seen. */
function crossingWords(circuit: DatedCircuit, year: number): string {
  const { crossing, limitVolts, point, from, lookAgain } = circuit;
  const limit = voltsText(limitVolts);
  const look = `look again by ${dayWords(lookAgain, year)}`;
  const low = crossing.low <= from ? "now" : dayWords(crossing.low, year);
  const when = `${dayWords(crossing.median, year)} (${low} to ${dayWords(crossing.high, year)})`;
  return `${point} reading reaches ${limit} about ${when}; ${look}`;
}

/** What was read of a path at its limit; its line would leave out what broke. */
function atLimitWords({ charts, point, limitVolts }: CircuitTrend, year: number): string {
  const read = charts.find((one) => one.point === point)?.readings.at(-1);
  const limit = `at its limit of ${voltsText(limitVolts)}`;
  return read === undefined
    ? limit
    : `${limit}: ${point} read ${voltsText(read.volts)} on ${dayWords(read.day, year)}`;
}

/** A circuit that a date can be given for. */
type DatedCircuit = CircuitTrend & { readonly crossing: Estimate };
const hasDate = (circuit: CircuitTrend): circuit is DatedCircuit => circuit.crossing !== null;

/** One line for all paths without a date; at 90 %, the first that may cross first. */
function noFallLine(circuits: readonly CircuitTrend[], year: number): readonly string[] {
  const without = circuits.filter((circuit) => !hasDate(circuit));
  if (without.length === 0) return [];
  const first = without.reduce((a, b) => (b.notBefore < a.notBefore ? b : a));
  const name = circuitText(first);
  const which = without.length === 1 ? "" : ` (${name} first)`;
  return [
    `  No fall seen in ${counted(without.length, "path")}; not before ${dayWords(first.notBefore, year)}${which}.`,
  ];
}

function circuitLines(circuit: DatedCircuit, trend: PoolTrend, year: number): readonly string[] {
  const { volts } = circuit;
  const contact = leadingContact(trend, circuit)!;
  const now = `reads about ${voltsText(volts.median)} (${volts.low.toFixed(2)} to ${volts.high.toFixed(2)})`;
  const said = isAtLimit(circuit)
    ? atLimitWords(circuit, year)
    : `${now}; ${crossingWords(circuit, year)}`;
  return [
    `  ${sentence(circuitText(circuit))}: ${said}.`,
    `    ${contactName(contact, trend)}: ${contactWords(contact, year)}.`,
  ];
}

/** How a class gets worse; each contact's own rate lies in the range with 90 %. */
function classLine(one: ClassTrend, trend: PoolTrend): string {
  const hold =
    one.holdTime === null
      ? ""
      : `; a cleaning that helped holds ${weeksText(one.holdTime.meanWeeks)} on average`;
  const contacts = counted(one.contacts, "contact");
  const seen = trend.contacts.some(
    ({ point, segments }) =>
      point === one.point && segments.some(({ observations }) => observations.some(resolved)),
  );
  if (!seen) return `  ${sentence(one.connector)}: no walk has seen any of ${contacts} grow.`;
  const { inOhms, median, low, high } = usualRate(one);
  const rate = inOhms
    ? `${ohmsText(median)} a week (${ohmsFigures(low)} to ${ohmsFigures(high)})`
    : growthWords({ median, low, high });
  return `  ${sentence(one.connector)}: ${percentText(1 - one.notGrowing)} of ${contacts} grow, by ${rate}${hold}.`;
}

/** Each circuit's step of a day once: the first of its points that shows it, and how many behind do. */
function flagLines(trend: PoolTrend, year: number): readonly string[] {
  return trend.circuits
    .flatMap(({ charts }) => {
      const flagged = charts.flatMap(({ point, readings, ...circuit }) =>
        readings
          .filter((reading) => reading.flagged)
          .map((reading) => ({ ...reading, where: `${circuitText(circuit)} ${point}` })),
      );
      const firsts = flagged.filter(
        ({ day }, at) => flagged.findIndex((one) => one.day === day) === at,
      );
      return firsts.map((first) => ({
        ...first,
        behind: flagged.filter(({ day }) => day === first.day).length - 1,
      }));
    })
    .toSorted((a, b) => b.day - a.day)
    .map(
      ({ where, day, volts, expected, behind }) =>
        `  ${dayWords(day, year)}, ${where}: read ${voltsText(volts)} where ` +
        `${voltsText(expected)} was expected` +
        `${behind === 0 ? "" : `; ${counted(behind, "point")} behind it too`}.`,
    );
}

/** How many readings are no steps because their own walks doubt them. */
function doubtedLines({ circuits }: PoolTrend): readonly string[] {
  const charts = circuits.flatMap((circuit) => circuit.charts);
  const doubted = charts.reduce((sum, one) => sum + one.doubted, 0);
  if (doubted === 0) return [];
  const told =
    doubted === 1
      ? "One reading is left out here: its own walk says"
      : `${doubted} readings are left out here: their own walks say`;
  return [
    "",
    `${told} that the display was off, or that a value was misread (dropwise check --all).`,
  ];
}

/** At most this many items under one heading; the rest is in the JSON output. */
const MOST_ITEMS = 12;

/** A heading and its items, each of one line or more; what is left out is counted by its name. */
function section(
  heading: string,
  items: readonly (readonly string[])[],
  name: string,
): readonly string[] {
  if (items.length === 0) return [];
  const left = items.length - MOST_ITEMS;
  return [
    "",
    heading,
    ...items.slice(0, MOST_ITEMS).flat(),
    ...(left > 0 ? [`  … and ${counted(left, `more ${name}`)} (--json).`] : []),
  ];
}

const singly = (lines: readonly string[]): readonly (readonly string[])[] =>
  lines.map((line) => [line]);

/** `10 walks, 10 January to 2 May, about every 14 days`. */
function seasonWords({ walks, rhythm }: PoolTrend): string {
  const [first, last] = [walks[0]!.day, walks.at(-1)!.day];
  const count = walks.length === 1 ? "one walk" : `${walks.length} walks`;
  const often = first === last ? "" : `, about every ${rhythm === 1 ? "day" : `${rhythm} days`}`;
  return `${count}, ${rangeWords(first, last)}${often}`;
}

/**
 * The season in words: what crosses first, how fast each class grows, what works on it did. `notes`:
 * what it rests on and nobody knows.
 */
export function trendText(trend: PoolTrend, notes: readonly string[] = []): string {
  const { year } = civilDay(trend.walks.at(-1)!.day);
  const cleanings = trend.cleanings.classes
    .flatMap((one) => one.cleanings)
    .toSorted((a, b) => b.day - a.day)
    .map((score) => cleaningLine(score, trend, year));
  const lines = [
    `${trend.pool}: ${seasonWords(trend)}.`,
    ...notes,
    ...section(
      "What reaches its limit first (dates: 80 %, volts and growth: 90 %)",
      trend.circuits.filter(hasDate).map((circuit) => circuitLines(circuit, trend, year)),
      "circuit",
    ),
    ...(trend.circuits.every(hasDate) ? [] : ["", ...noFallLine(trend.circuits, year)]),
    ...section(
      "Growth by class of connector",
      singly(trend.classes.map((one) => classLine(one, trend))),
      "connector",
    ),
    ...section("Cleanings, the latest first", singly(cleanings), "cleaning"),
    ...section(
      "Replacements, the latest first",
      singly(replacementLines(trend, year)),
      "replacement",
    ),
    ...section(
      "Steps that growth does not explain, the latest first",
      singly(flagLines(trend, year)),
      "step",
    ),
    ...doubtedLines(trend),
    "",
    "Dates hold if nothing is cleaned or breaks and every contact goes on growing as it has.",
  ];
  return `${prose(lines).join("\n")}\n`;
}
