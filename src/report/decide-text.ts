import type { Course, CourseKind, Decision, ReadAgain } from "../decision/decision.ts";
import type { Pool } from "../domain/pool.ts";
import { type Caution, cautionsFor, type WorkStep } from "./cautions.ts";
import { connectorName, moneyText, percentText, sentence, voltsText } from "./names.ts";
import { assumedLoadNote, assumedLoadOhms } from "./unknown-load.ts";

/** "5 weeks", "1 week". */
const weeksText = (weeks: number): string => {
  const whole = Math.round(weeks);
  return whole === 1 ? "1 week" : `${whole} weeks`;
};

/** "every 5 weeks", "every week". */
const everyText = (weeks: number): string =>
  weeks === 1 ? "every week" : `every ${weeksText(weeks)}`;

/** "lane 3's plate connector", "the timer outlet". */
function ownerName({ place }: Decision): string {
  if (place.lane === null) return `the ${place.connector}`;
  const device = place.device === null ? "" : `${place.device} `;
  return `lane ${place.lane}'s ${device}${place.connector}`;
}

/** Price of a step in brackets with its minutes: "(12 min, EUR 8)". */
const priceText = (minutes: number, cost: number, currency: string): string =>
  `(${Math.round(minutes)} min, ${moneyText(cost, currency)})`;

/** ", and the last two held 2 and 3 weeks"; empty where no cleaning is on record. */
function heldText(held: Decision["weeksHeld"]): string {
  const last = held.slice(-2);
  if (last.length === 0) return "";
  const which = last.length === 1 ? "the last one" : "the last two";
  if (last.every(({ weeks, atLeast }) => Math.round(weeks) === 0 && !atLeast))
    return `, and ${which} did not hold at all`;
  const each = last.map(
    ({ weeks, atLeast }) => `${atLeast ? "at least " : ""}${Math.round(weeks)}`,
  );
  const same = each.every((text) => text === each[0]);
  const values = same ? (each[0] ?? "") : each.join(" and ");
  return `, and ${which} held ${values === "1" ? "1 week" : `${values} weeks`}`;
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

const courseNames: Readonly<Record<CourseKind, string>> = {
  leave: "leave it",
  clean: "clean it",
  "replace-now": "replace it now",
  "replace-at-age": "replace it later",
};

/** "clean it every 13 weeks". */
function courseName(course: Course): string {
  const rhythm = course.everyWeeks === null ? "" : ` ${everyText(course.everyWeeks)}`;
  switch (course.kind) {
    case "clean":
      return course.everyWeeks === null ? "clean it once" : `${courseNames.clean}${rhythm}`;
    case "replace-at-age":
      return course.replaceInWeeks === null
        ? "replace it later: no better"
        : `replace it in ${weeksText(course.replaceInWeeks)}`;
    default:
      return courseNames[course.kind];
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

/** Columns of the table of courses; the first to the left, the others to the right. */
const heads = ["course", "present cost", "a year", "chance best", "lane lost before next check"];
const widths = [30, 14, 12, 13, 30];

const row = (cells: readonly string[]): string =>
  cells
    .map((cell, k) => (k === 0 ? cell.padEnd(widths[k] ?? 0) : cell.padStart(widths[k] ?? 0)))
    .join(" ")
    .trimEnd();

/** Second line of a course that replaces what a cleaning left too low. */
const replacedText = ({ kind, replaceInWeeks, replaceUnderVolts: under }: Course): string[] =>
  under === null || (kind === "replace-at-age" && replaceInWeeks === null)
    ? []
    : [`    and replace it if under ${voltsText(under)}`];

function courseTable(decision: Decision, currency: string): readonly string[] {
  return [
    row(heads),
    ...decision.courses.flatMap((course) => [
      row([
        `${course.kind === decision.preferred ? "> " : "  "}${courseName(course)}`,
        moneyText(course.presentCost, currency),
        moneyText(course.annualCost, currency),
        percentText(course.chanceBest),
        percentText(course.failsBeforeNextCheck),
      ]),
      ...replacedText(course),
    ]),
  ];
}

/** The work that a decision may lead to: whoever cleans may have to replace. */
export function stepsOf(decision: Decision): readonly WorkStep[] {
  const device = decision.place.device ?? "";
  const lift: readonly WorkStep[] = device.includes("pad") ? ["lift-pads"] : [];
  switch (decision.preferred) {
    case "leave":
      return ["measure"];
    case "replace-now":
      return ["replace", ...lift];
    default:
      return ["clean", "replace", ...lift];
  }
}

const cautionLines = (cautions: readonly Caution[]): readonly string[] =>
  cautions.map((caution) => `    ! ${caution.words}`);

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
    : [["Worked on since:", ...again.map((one) => `   ${readAgainWords(one)}`)].join("\n")];

/** All decisions of a walk as text, what can hurt someone beside each piece of work. */
export function decideText(
  pool: Pool,
  walk: string,
  decisions: readonly Decision[],
  again: readonly ReadAgain[] = [],
): string {
  const currency = pool.costs?.currency ?? "XXX";
  const lastPoint = pool.chain.at(-1)?.point ?? "last point";
  const head = `${pool.name}, walk ${walk}`;
  if (decisions.length + again.length === 0)
    return `${head}: no connector is a suspect; nothing to clean or to replace.\n`;
  const said = new Set<string>();
  const blocks = decisions.map((decision, index) => {
    // Each caution in full where its work first stands, by name afterwards.
    const cautions = cautionsFor(...stepsOf(decision));
    const fresh = cautions.filter((caution) => !said.has(caution.id));
    const again = cautions.length > fresh.length;
    for (const caution of fresh) said.add(caution.id);
    return [
      `${index + 1}. ${sentence(connectorName(decision.place))}: at fault ` +
        `${percentText(decision.atFault)}, film ${percentText(decision.film)}`,
      `   ${decisionWords(decision, lastPoint, currency)}`,
      `   How sure: ${percentText(decision.chanceBest)} that this is the cheapest course${nearlyText(decision)}.`,
      ...cautionLines(fresh),
      ...(again ? ["    ! The cautions above hold here too."] : []),
      "",
      ...courseTable(decision, currency).map((line) => `   ${line}`),
    ].join("\n");
  });
  const notes = assumedLoadNote(pool).map((note) => `${note}\n`);
  return `${head}\n${notes.join("")}\n${[...blocks, ...readAgainBlock(again)].join("\n\n")}\n`;
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
      cautions: cautionsFor(...stepsOf({ place, ...decision })),
    })),
    readAgain: again.map(({ place, ...work }) => ({
      ...place,
      ...work,
      words: readAgainWords({ place, ...work }),
    })),
    rejected,
  };
  return `${JSON.stringify(answer, null, 2)}\n`;
}
