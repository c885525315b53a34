import type { Explanation, WalkDiagnosis } from "../domain/findings.ts";
import type { Pool } from "../domain/pool.ts";
import type { ExplanationTold } from "../words/explanation-words.ts";
import type { Words } from "../words/words.ts";

/** An explanation in words, with what the walk and the pool file say of its supply or meter. */
export function explanationTold(
  one: Explanation,
  walk: WalkDiagnosis,
  pool: Pool,
  { explanations }: Words,
): ExplanationTold {
  const supply = pool.supplies.find(({ name }) => name === one.of) ?? pool.supplies[0]!;
  return explanations.kinds[one.kind]({
    one,
    found: walk.supplies.find(({ name }) => name === one.of)?.emf ?? walk.emf,
    nominal: supply.emf,
    hasSeveral: pool.supplies.length > 1,
    loadOhms: pool.meters.find(({ name }) => name === one.of)?.loadOhms ?? null,
  });
}
