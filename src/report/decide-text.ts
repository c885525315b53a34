import { currencyOf } from "../domain/currency.ts";
import type { Decision, ReadAgain } from "../domain/decision.ts";
import type { Pool } from "../domain/pool.ts";
import { type Language, wordsIn } from "../words/language.ts";
import type { Words } from "../words/words.ts";
import { type Caution, cautionsSaid } from "./cautions.ts";
import { courseTable } from "./course-table.ts";
import { instructions, nearlyTold, stepsOf } from "./decision-told.ts";
import { informedLines } from "./informed-words.ts";
import { assumedLoadOhms } from "./unknown-load.ts";
import { wrapped } from "./wrap-text.ts";

function readAgainBlock(again: readonly ReadAgain[], { decide }: Words): readonly string[] {
  if (again.length === 0) return [];
  const lines = again.flatMap(({ place, action, date }) =>
    wrapped(`   ${decide.readAgain(place, action, date)}`),
  );
  return [[decide.workedOnSince, ...lines].join("\n")];
}

/** One decision in full: what to do, what can hurt someone, what each course costs. */
function decisionLines(
  decision: Decision,
  number: number,
  { pool, fresh, again }: { pool: Pool; fresh: readonly Caution[]; again: boolean },
  words: Words,
): readonly string[] {
  const { decide } = words;
  const currency = currencyOf(pool);
  const start = `${number}. `;
  const indent = " ".repeat(start.length);
  // Film is said of what conducts.
  const film = decision.action === "look" ? null : decision.film;
  const told = [
    `${start}${decide.suspect(decision.place, decision.atFault, film)}`,
    `${indent}${instructions(decision, currency, words)}`,
    `${indent}${decide.howSure(`${decide.sure(decision)}${nearlyTold(decision, words)}`)}`,
  ];
  const cautions = [
    ...fresh.map((caution) => caution.words),
    ...(again ? [words.cautions.hereToo] : []),
  ];
  return [
    ...told.flatMap((line) => wrapped(line, indent.length)),
    ...cautions.flatMap((line) => wrapped(`    ! ${line}`)),
    "",
    ...courseTable(decision, currency, words).map((line) => ` ${line}`),
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
    language = "en",
  }: {
    readonly unjudged?: string | null;
    readonly again?: readonly ReadAgain[];
    readonly informedBy?: readonly string[];
    readonly language?: Language;
  } = {},
): string {
  const words = wordsIn(language);
  const { decide } = words;
  const head = decide.head(pool.name, walk);
  if (decisions.length + since.length === 0) {
    const none = unjudged ?? decide.nothing;
    return `${wrapped(`${head}: ${none}`).join("\n")}\n`;
  }
  const said = new Set<string>();
  const blocks = decisions.map((decision, index) => {
    // Each caution in full where its work first stands, by name afterwards.
    const cautions = cautionsSaid(words.cautions, ...stepsOf(pool, decision));
    const fresh = cautions.filter((caution) => !said.has(caution.id));
    const again = cautions.length > fresh.length;
    for (const caution of fresh) said.add(caution.id);
    return decisionLines(decision, index + 1, { pool, fresh, again }, words).join("\n");
  });
  const assumed = assumedLoadOhms(pool);
  const notes = [
    ...(unjudged === null ? [head] : [`${head}: ${unjudged}`]),
    ...informedLines({ informedBy }, words),
    ...(assumed === null ? [] : [decide.assumedLoad(assumed)]),
  ].flatMap((note) => wrapped(note));
  return `${notes.join("\n")}\n\n${[...blocks, ...readAgainBlock(since, words)].join("\n\n")}\n`;
}
