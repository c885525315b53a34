import type { Course, Decision } from "../decision/decision.ts";
import type { Pool } from "../domain/pool.ts";
import { type Caution, cautionsFor, type WorkStep } from "./cautions.ts";
import { courseTable } from "./course-table.ts";
import { connectorName, moneyText, percentText, sentence, voltsText, weeksText } from "./names.ts";
import { mayLiftPad } from "./pad-lift.ts";
import { assumedLoadNote, assumedLoadOhms } from "./unknown-load.ts";
import { wrapped } from "./wrap-text.ts";

/** "lane 3's plate connector", "the timer outlet". */
function ownerName({ place }: Decision): string {
  if (place.lane === null) return `the ${place.connector}`;
  const device = place.device === null ? "" : `${place.device} `;
  return `lane ${place.lane}'s ${device}${place.connector}`;
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

/** What a cleaning must hold, and what the last ones held. */
function holdText(decision: Decision): string {
  const { breakEvenWeeks: weeks, weeksHeld } = decision;
  if (weeks === null)
    return `no cleaning can hold long enough to be worth it${heldText(weeksHeld)}`;
  return `cleaning would have to hold ${weeksText(weeks)} to be worth it${heldText(weeksHeld)}`;
}

/** Where the choice turns, once it was cleaned. */
function turnText(decision: Decision, lastPoint: string): string {
  const turn = decision.breakEvenReading;
  switch (turn.kind) {
    case "reading":
      return (
        `If its ${lastPoint} then still reads under ${voltsText(turn.volts)}, replace the ` +
        `connector: ${holdText(decision)}.`
      );
    case "never-replace":
      return `However low its ${lastPoint} then reads, cleaning on costs less than replacing it.`;
    case "always-replace":
      return `Replacing it costs no more, however well its ${lastPoint} then reads.`;
  }
}

/** Why a cleaning is no longer thought to help. */
const metalText = (decision: Decision): string =>
  decision.stillLowAfterCleaning
    ? " It was cleaned and still reads low: by common practice that points to oxidised metal, which " +
      "no cleaning cures."
    : "";

/** "every 13 weeks"; empty where it is cleaned once. */
const rhythmText = ({ everyWeeks }: Course): string =>
  everyWeeks === null ? "" : ` and again every ${weeksText(everyWeeks)}`;

/** The preferred course of one decision, as instructions. */
export function decisionWords(decision: Decision, lastPoint: string, currency: string): string {
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
        `Clean ${name} now ${cleaning}${rhythmText(course)}. ${turnText(decision, lastPoint)}` +
        metalText(decision)
      );
    case "replace-now":
      return `Replace ${name} now ${replacing}: ${holdText(decision)}.${metalText(decision)}`;
    case "replace-at-age":
      return (
        `Clean ${name} now ${cleaning}${rhythmText(course)}, and replace it in ` +
        `${weeksText(course.replaceInWeeks ?? 0)} ${replacing}. ${turnText(decision, lastPoint)}` +
        metalText(decision)
      );
  }
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

/** One decision in full: what to do, what can hurt someone, what each course costs. */
function decisionLines(
  decision: Decision,
  number: number,
  { pool, fresh, again }: { pool: Pool; fresh: readonly Caution[]; again: boolean },
): readonly string[] {
  const currency = pool.costs?.currency ?? "XXX";
  const start = `${number}. `;
  const indent = " ".repeat(start.length);
  const lastPoint = pool.chain.at(-1)?.point ?? "last point";
  const words = [
    `${start}${sentence(connectorName(decision.place))}: at fault ` +
      `${percentText(decision.atFault)}, film ${percentText(decision.film)}`,
    `${indent}${decisionWords(decision, lastPoint, currency)}`,
    `${indent}How sure: ${percentText(decision.chanceBest)} that this is the cheapest course.`,
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
 */
export function decideText(
  pool: Pool,
  walk: string,
  decisions: readonly Decision[],
  unjudged: string | null = null,
): string {
  const head = `${pool.name}, walk ${walk}`;
  if (decisions.length === 0) {
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
  return `${notes.join("\n")}\n\n${blocks.join("\n\n")}\n`;
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
): string {
  const currency = pool.costs?.currency ?? "XXX";
  const lastPoint = pool.chain.at(-1)?.point ?? "last point";
  const answer = {
    pool: pool.name,
    walk,
    currency,
    assumedLoadOhms: assumedLoadOhms(pool),
    decisions: decisions.map(({ place, ...decision }) => ({
      ...place,
      ...decision,
      breakEvenReading: inLoads(decision.breakEvenReading, assumedLoadOhms(pool)),
      words: decisionWords({ place, ...decision }, lastPoint, currency),
      cautions: cautionsFor(...stepsOf(pool, { place, ...decision })),
    })),
    rejected,
  };
  return `${JSON.stringify(answer, null, 2)}\n`;
}
