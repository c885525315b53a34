import type { Course, Decision, ReadAgain } from "../decision/decision.ts";
import { isOfLane } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import { type Caution, cautionsFor, type WorkStep } from "./cautions.ts";
import { courseName, courseTable } from "./course-table.ts";
import { lastPointOf } from "./limit-text.ts";
import {
  connectorName,
  everyText,
  moneyText,
  ownerText,
  percentText,
  sentence,
  voltsText,
  weeksText,
} from "./names.ts";
import { mayLiftPad } from "./pad-lift.ts";
import { placeJson } from "./place-json.ts";
import { assumedLoadNote, assumedLoadOhms } from "./unknown-load.ts";
import { wrapped } from "./wrap-text.ts";

/** "lane 3's plate connector", "the timer outlet". */
function ownerName({ place }: Decision): string {
  if (!isOfLane(place)) return `the ${connectorName(place)}`;
  return `${ownerText(place, "'s")}${place.connector}`;
}

/** Price of a step in brackets with its minutes: "(12 min, EUR 8)", "(12 min, cost 8)". */
function priceText(minutes: number, cost: number, currency: string): string {
  const price = `${currency === "XXX" ? "cost " : ""}${moneyText(cost, currency)}`;
  return `(${Math.round(minutes)} min, ${price})`;
}

type Held = Decision["weeksHeld"][number];

/** "at least 1 week". */
const heldWeeks = ({ weeks, atLeast }: Held): string =>
  `${atLeast ? "at least " : ""}${weeksText(weeks)}`;

/** "2 and 3 weeks", or both in full where one word would not do for both. */
function heldBoth(one: Held, other: Held): string {
  const [first, second] = [heldWeeks(one), heldWeeks(other)];
  if (first === second) return first;
  const alike = one.atLeast === other.atLeast && Math.round(other.weeks) !== 1;
  return `${alike ? first.replace(/ weeks?$/, "") : first} and ${second}`;
}

/** ", and the last two held 2 and 3 weeks"; empty where no cleaning is on record that tells. */
function heldText(held: Decision["weeksHeld"]): string {
  const telling = held.filter(({ weeks, atLeast }) => !atLeast || Math.round(weeks) > 0);
  const [one, other] = telling.slice(-2);
  if (one === undefined) return "";
  const which = other === undefined ? "the last one" : "the last two";
  if ([one, other ?? one].every(({ weeks }) => Math.round(weeks) === 0))
    return `, and ${which} did not hold at all`;
  return `, and ${which} held ${other === undefined ? heldWeeks(one) : heldBoth(one, other)}`;
}

/** ", and 3 of the 4 on record did not hold at all"; how the last ones held where all did. */
function failedText(held: Decision["weeksHeld"]): string {
  const failed = held.filter(({ weeks, atLeast }) => Math.round(weeks) === 0 && !atLeast).length;
  if (failed === 0) return heldText(held);
  return `, and ${failed} of the ${held.length} on record did not hold at all`;
}

/** What a cleaning must hold, and what the last ones held. */
const holdText = ({ breakEvenWeeks: weeks, weeksHeld }: Decision): string =>
  weeks === null
    ? `no cleaning can hold long enough to be worth it${heldText(weeksHeld)}`
    : `cleaning would have to hold ${weeksText(weeks)} to be worth it${heldText(weeksHeld)}`;

/** May a course that cleans hold as long as is needed? A week is the least and says nothing. */
const holds = ({ everyWeeks }: Course, weeks: number | null): boolean =>
  weeks !== null && weeks > 1 && (everyWeeks ?? Number.POSITIVE_INFINITY) >= weeks;

/** Why a replacement is better than the best cleaning course. */
function whyReplace(decision: Decision): string {
  const { breakEvenWeeks: weeks, weeksHeld, film } = decision;
  const cleaning = decision.courses.find(({ kind }) => kind === "clean");
  if (weeks !== null && cleaning !== undefined && (weeks <= 1 || holds(cleaning, weeks)))
    return (
      `a cleaning cures it with a chance of ${percentText(film)}${failedText(weeksHeld)}; what is ` +
      "lost when it fails, or before the next, costs more than cleaning saves"
    );
  return holdText(decision);
}

/** Where the course turns, once it was cleaned: the rule that its costs are reckoned by. */
function turnText(decision: Decision, course: Course, lastPoint: string): string {
  const under = course.replaceUnderVolts;
  if (under === null)
    return `However low its ${lastPoint} then reads, cleaning on costs less than replacing it.`;
  const why = holds(course, decision.breakEvenWeeks) ? `: ${holdText(decision)}` : "";
  return `If its ${lastPoint} then still reads under ${voltsText(under)}, replace the connector${why}.`;
}

/** Why a cleaning is no longer thought to help. */
const metalText = (decision: Decision): string =>
  decision.stillLowAfterCleaning
    ? " It was cleaned and still reads low: by common practice that points to oxidised metal, which " +
      "no cleaning cures."
    : "";

/** "every 13 weeks"; empty where it is cleaned once. */
const rhythmText = ({ everyWeeks }: Course): string =>
  everyWeeks === null ? "" : ` and again ${everyText(everyWeeks)}`;

/** An open contact is more often a break than film or metal. */
const BREAK = 0.5;

/** What an open contact may be, before any money is spent on it. */
export const breakWords =
  "No current passes: a pulled-out wire, a bent or missing pin, a connector that is not home. " +
  "Cleaning cures none of these.";

export const mayBeBreak = (open: number): boolean => open > BREAK;

/** The preferred course of one decision, as instructions; a break is looked for first. */
export function decisionWords(decision: Decision, lastPoint: string, currency: string): string {
  const words = courseWords(decision, lastPoint, currency);
  return mayBeBreak(decision.open)
    ? `Look for a break first. ${breakWords} If there is none: ${words}`
    : words;
}

function courseWords(decision: Decision, lastPoint: string, currency: string): string {
  const name = ownerName(decision);
  const course = decision.courses.find((each) => each.kind === decision.preferred);
  if (course === undefined) throw new Error(`no course ${decision.preferred}`);
  const cleaning = priceText(decision.cleanMinutes, decision.cleanCost, currency);
  const replacing = priceText(decision.replaceMinutes, decision.replaceCost, currency);
  switch (decision.preferred) {
    case "leave":
      return (
        `Leave ${name} as it is: work on it costs more than the risk that it takes away. Read it ` +
        "again at the next check."
      );
    case "clean":
      return (
        `Clean ${name} now ${cleaning}${rhythmText(course)}. ${turnText(decision, course, lastPoint)}` +
        metalText(decision)
      );
    case "replace-now":
      return `Replace ${name} now ${replacing}: ${whyReplace(decision)}.${metalText(decision)}`;
    case "replace-at-age":
      return (
        `Clean ${name} now ${cleaning}${rhythmText(course)}, and replace it in ` +
        `${weeksText(course.replaceInWeeks ?? 0)} ${replacing}. ${turnText(decision, course, lastPoint)}` +
        metalText(decision)
      );
  }
}

/** Costs nearer than this are nearly the same. */
const NEARLY = 0.02;

/** "; to clean it every 6 weeks costs nearly the same": how sure counts little then. */
export function nearlyText({ courses, preferred }: Decision): string {
  const best = courses.find(({ kind }) => kind === preferred);
  if (best === undefined) return "";
  const others = courses.filter(
    ({ kind, replaceInWeeks, presentCost }) =>
      kind !== preferred &&
      !(kind === "replace-at-age" && replaceInWeeks === null) &&
      presentCost - best.presentCost < NEARLY * best.presentCost,
  );
  const names = others.map((each) => courseName(each)).join(" or to ");
  return names === "" ? "" : `; to ${names} costs nearly the same`;
}

/** The work that a decision may lead to: whoever cleans may have to replace. */
export function stepsOf(pool: Pool, decision: Decision): readonly WorkStep[] {
  const lift: readonly WorkStep[] = mayLiftPad(pool, decision.place) ? ["lift-pads"] : [];
  switch (decision.preferred) {
    case "leave":
      return ["measure"];
    case "replace-now":
      return ["replace", ...lift];
    default:
      return ["clean", "replace", ...lift];
  }
}

/** "Lane 3 plate connector was replaced on 2026-03-08, ...": why nothing is weighed. */
export function readAgainWords({ place, action, date }: ReadAgain): string {
  const [were, it] = place.connector.endsWith("s") ? ["were", "them"] : ["was", "it"];
  return (
    `${sentence(connectorName(place))} ${were} ${action} on ${date}, after the latest walk: ` +
    `read ${it} again before deciding.`
  );
}

const readAgainBlock = (again: readonly ReadAgain[]): readonly string[] =>
  again.length === 0
    ? []
    : [
        ["Worked on since:", ...again.flatMap((one) => wrapped(`   ${readAgainWords(one)}`))].join(
          "\n",
        ),
      ];

/** One decision in full: what to do, what can hurt someone, what each course costs. */
function decisionLines(
  decision: Decision,
  number: number,
  { pool, fresh, again }: { pool: Pool; fresh: readonly Caution[]; again: boolean },
): readonly string[] {
  const currency = pool.costs?.currency ?? "XXX";
  const start = `${number}. `;
  const indent = " ".repeat(start.length);
  const lastPoint = lastPointOf(pool, decision.place);
  const words = [
    `${start}${sentence(connectorName(decision.place))}: at fault ` +
      `${percentText(decision.atFault)}, film ${percentText(decision.film)}`,
    `${indent}${decisionWords(decision, lastPoint, currency)}`,
    `${indent}How sure: ${percentText(decision.chanceBest)} that this is the cheapest course${nearlyText(decision)}.`,
  ];
  const cautions = [
    ...fresh.map((caution) => caution.words),
    ...(again ? ["The cautions above hold here too."] : []),
  ];
  return [
    ...words.flatMap((line) => wrapped(line, indent.length)),
    ...cautions.flatMap((line) => wrapped(`    ! ${line}`)),
    "",
    ...courseTable(decision, currency).map((line) => ` ${line}`),
  ];
}

/**
 * All decisions of a walk as text, what can hurt someone beside each piece of work.
 *
 * @param unjudged why the walk cannot be judged; null where it can
 * @param again what was worked on since the walk
 */
export function decideText(
  pool: Pool,
  walk: string,
  decisions: readonly Decision[],
  {
    unjudged = null,
    again: since = [],
  }: { readonly unjudged?: string | null; readonly again?: readonly ReadAgain[] } = {},
): string {
  const head = `${pool.name}, walk ${walk}`;
  if (decisions.length + since.length === 0) {
    const none = unjudged ?? "no connector is a suspect; nothing to clean or to replace.";
    return `${wrapped(`${head}: ${none}`).join("\n")}\n`;
  }
  const said = new Set<string>();
  const blocks = decisions.map((decision, index) => {
    // Each caution in full where its work first stands, by name afterwards.
    const cautions = cautionsFor(...stepsOf(pool, decision));
    const fresh = cautions.filter((caution) => !said.has(caution.id));
    const again = cautions.length > fresh.length;
    for (const caution of fresh) said.add(caution.id);
    return decisionLines(decision, index + 1, { pool, fresh, again }).join("\n");
  });
  const notes = [
    ...(unjudged === null ? [head] : [`${head}: ${unjudged}`]),
    ...assumedLoadNote(pool),
  ].flatMap((note) => wrapped(note));
  return `${notes.join("\n")}\n\n${[...blocks, ...readAgainBlock(since)].join("\n\n")}\n`;
}

/** Where the choice turns: its resistance as a multiple of a load that was assumed. */
function inLoads(turn: Decision["breakEvenReading"], assumed: number | null) {
  if (assumed === null || turn.kind !== "reading") return turn;
  const { contactOhms, ...rest } = turn;
  return { ...rest, contactLoads: contactOhms / assumed };
}

/** The same as data, with the words. */
export function decideJson(
  pool: Pool,
  walk: string,
  decisions: readonly Decision[],
  rejected: readonly unknown[],
  again: readonly ReadAgain[] = [],
): string {
  const currency = pool.costs?.currency ?? "XXX";
  const answer = {
    schema: "dropwise-decide-2",
    pool: pool.name,
    walk,
    currency,
    assumedLoadOhms: assumedLoadOhms(pool),
    decisions: decisions.map(({ place, ...decision }) => ({
      ...placeJson(place),
      ...decision,
      breakEvenReading: inLoads(decision.breakEvenReading, assumedLoadOhms(pool)),
      words: decisionWords({ place, ...decision }, lastPointOf(pool, place), currency),
      cautions: cautionsFor(...stepsOf(pool, { place, ...decision })),
    })),
    readAgain: again.map(({ place, ...work }) => ({
      ...placeJson(place),
      ...work,
      words: readAgainWords({ place, ...work }),
    })),
    rejected,
  };
  return `${JSON.stringify(answer, null, 2)}\n`;
}
