import { isOfLane } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import type { Action, Decision, ReadAgain } from "../policy/decision.ts";
import { english } from "../words/english.ts";
import { ownerText } from "../words/english-places.ts";
import { sentence } from "../words/figure-words.ts";
import { type Caution, cautionsFor, type WorkStep } from "./cautions.ts";
import { courseNames, courseTable, isStep } from "./course-table.ts";
import { informedLines } from "./informed-words.ts";
import { connectorName, moneyText, percentText, voltsText, weeksText } from "./names.ts";
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

/** "a cleaning cures it with a chance of 20 %, and the last one held 2 weeks". */
const curesText = ({ film, weeksHeld }: Decision): string =>
  `a cleaning cures it with a chance of ${percentText(film)}${failedText(weeksHeld)}`;

const ordinals = ["first", "second", "third"] as const;

/** The rule that a person can pin to the wall, as a sentence. */
export function ruleText({ thresholds, lastPoint }: Decision): string {
  const { first, cleanUnder, replaceUnder, replaceAfter } = thresholds;
  if (cleanUnder === null) return "No reading makes work on it worth its price.";
  if (first === "replace")
    return `The rule: replace it where its ${lastPoint} reads under ${voltsText(cleanUnder)}.`;
  const clean = `The rule: clean it where its ${lastPoint} reads under ${voltsText(cleanUnder)}`;
  const after =
    replaceAfter === null ? null : `after the ${ordinals[replaceAfter - 1] ?? "third"} failure`;
  if (replaceUnder === null && after === null)
    return `${clean}; however it then reads, cleaning on costs less than replacing it.`;
  if (replaceUnder === null) return `${clean}; replace it ${after}.`;
  const still = `replace it if it then still reads under ${voltsText(replaceUnder)}`;
  return `${clean}; ${still}${after === null || replaceAfter === 1 ? "" : `, or ${after}`}.`;
}

/** Why a cleaning is no longer thought to help. */
const metalText = (decision: Decision): string =>
  decision.stillLowAfterCleaning
    ? " It was cleaned and still reads low: by common practice that points to oxidised metal, which " +
      "no cleaning cures."
    : "";

/** What an open contact may be, before any money is spent on it. */
export const breakWords =
  "No current passes: a pulled-out wire, a bent or missing pin, a connector that is not home. " +
  "Cleaning cures none of these.";

/** One decision as instructions; a break is looked for first. */
export function decisionWords(decision: Decision, currency: string): string {
  const rule = `${ruleText(decision)}${metalText(decision)}`;
  return `${actionWords(decision.action, decision, currency)} ${rule}`;
}

const lowered = (text: string): string => text.charAt(0).toLowerCase() + text.slice(1);

function actionWords(action: Action, decision: Decision, currency: string): string {
  const name = ownerName(decision);
  const cleaning = priceText(decision.cleanMinutes, decision.cleanCost, currency);
  const replacing = priceText(decision.replaceMinutes, decision.replaceCost, currency);
  switch (action) {
    case "look": {
      const looking = priceText(decision.lookMinutes, decision.lookCost, currency);
      const then = actionWords(decision.ifNoBreak ?? "wait", decision, currency);
      return (
        `Look for the break in ${name} now ${looking}, push it home and read it, before anything ` +
        `else is done. ${breakWords} If that mends nothing, ${lowered(then)}`
      );
    }
    case "wait":
      return `Leave ${name} until the next walk: work on it now costs more than it saves by then.`;
    case "read-again":
      return `Read ${name} again before anything is done: one more reading may change what is best.`;
    case "clean":
      return `Clean ${name} now ${cleaning}, and read it.`;
    case "replace":
      return `Replace ${name} now ${replacing}: ${curesText(decision)}.`;
  }
}

/** "55 % that this is the cheapest"; a look comes first whatever it costs. */
export const sureText = ({ action, ifNoBreak, sure }: Decision): string =>
  action === "look" && ifNoBreak !== null
    ? `${percentText(sure)} that to ${courseNames[ifNoBreak]} is then the cheapest`
    : `${percentText(sure)} that this is the cheapest`;

/** Costs nearer than this part are nearly the same. */
const NEARLY = 0.02;

/** "; to clean it and read costs nearly the same": how sure counts little then. */
export function nearlyText({ courses, action, presentCost }: Decision): string {
  if (action === "look") return "";
  const others = courses.filter(
    (each) =>
      each.kind !== action &&
      isStep(each.kind) &&
      each.presentCost - presentCost < NEARLY * presentCost,
  );
  const names = others.map(({ kind }) => courseNames[kind]).join(" or to ");
  return names === "" ? "" : `; to ${names} costs nearly the same`;
}

/** The work that a decision may lead to: whoever cleans may have to replace. */
export function stepsOf(pool: Pool, decision: Decision): readonly WorkStep[] {
  const lift: readonly WorkStep[] = mayLiftPad(pool, decision.place) ? ["lift-pads"] : [];
  switch (decision.action) {
    case "wait":
    case "read-again":
      return ["measure"];
    case "look":
      return ["look", ...lift];
    case "replace":
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
  const words = [
    `${start}${sentence(connectorName(decision.place))}: at fault ` +
      `${percentText(decision.atFault)}, film ${percentText(decision.film)}`,
    `${indent}${decisionWords(decision, currency)}`,
    `${indent}How sure: ${sureText(decision)}${nearlyText(decision)}.`,
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
    informedBy = [],
  }: {
    readonly unjudged?: string | null;
    readonly again?: readonly ReadAgain[];
    readonly informedBy?: readonly string[];
  } = {},
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
    ...informedLines({ informedBy }, english),
    ...assumedLoadNote(pool),
  ].flatMap((note) => wrapped(note));
  return `${notes.join("\n")}\n\n${[...blocks, ...readAgainBlock(since)].join("\n\n")}\n`;
}

/** The same as data, with the words. */
export function decideJson(
  pool: Pool,
  walk: string,
  decisions: readonly Decision[],
  rejected: readonly unknown[],
  again: readonly ReadAgain[] = [],
  informedBy: readonly string[] = [],
): string {
  const currency = pool.costs?.currency ?? "XXX";
  const answer = {
    schema: "dropwise-decide-2",
    pool: pool.name,
    walk,
    informedBy,
    currency,
    assumedLoadOhms: assumedLoadOhms(pool),
    decisions: decisions.map(({ place, ...decision }) => ({
      ...placeJson(place),
      ...decision,
      words: decisionWords({ place, ...decision }, currency),
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
