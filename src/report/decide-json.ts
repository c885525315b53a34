import { currencyOf } from "../domain/currency.ts";
import type { Decision, ReadAgain } from "../domain/decision.ts";
import type { Pool } from "../domain/pool.ts";
import { cautionsFor } from "./cautions.ts";
import { stepsOf } from "./decision-told.ts";
import { decisionWords, readAgainWords } from "./decision-words.ts";
import { placeJson } from "./place-json.ts";
import { assumedLoadOhms } from "./unknown-load.ts";

/** The decisions of a walk as data, with their words in English. */
export function decideJson(
  pool: Pool,
  walk: string,
  decisions: readonly Decision[],
  rejected: readonly unknown[],
  again: readonly ReadAgain[] = [],
  informedBy: readonly string[] = [],
): string {
  const currency = currencyOf(pool);
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
