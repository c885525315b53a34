import { type ConnectorFinding, isAccused, type WalkDiagnosis } from "../domain/findings.ts";
import { isAboveLanes, isOfLane } from "../domain/place.ts";
import type { NamedPlace } from "../words/place-words.ts";
import type { Words } from "../words/words.ts";

/** An explanation less likely than this is not printed. */
const WORTH_SAYING = 0.05;

/** Explanations that a person is told of; the JSON has all. */
export const isWorthSaying = ({ probability }: { readonly probability: number }): boolean =>
  probability >= WORTH_SAYING;

/** Lanes in the order of the deck: what several share first, what belongs to none last. */
function deckOrder(a: NamedPlace, b: NamedPlace): number {
  const rank = (one: NamedPlace): number => (isAboveLanes(one) ? 0 : isOfLane(one) ? 1 : 2);
  if (rank(a) !== rank(b) || !isOfLane(a) || !isOfLane(b)) return rank(a) - rank(b);
  return String(a.lane).localeCompare(String(b.lane), "en", { numeric: true });
}

/** The connectors that are more likely faulty than sound, in the order in which to go to them. */
export const suspectsToVisit = (
  connectors: readonly ConnectorFinding[],
): readonly ConnectorFinding[] => connectors.filter(isAccused).toSorted(deckOrder);

/**
 * What the walk comes to, in one line: the title of its map and the verdict of its report. Every
 * suspect is named, in the order in which to go to them.
 */
export function leadLine({ connectors }: Pick<WalkDiagnosis, "connectors">, words: Words): string {
  const lead = connectors[0];
  if (lead === undefined) return words.suspects.nothingRead;
  const suspects = suspectsToVisit(connectors);
  const [only] = suspects;
  if (only === undefined) return words.suspects.none(lead);
  return suspects.length === 1 ? words.suspects.one(only) : words.suspects.several(suspects);
}
