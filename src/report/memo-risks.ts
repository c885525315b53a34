import type { MemoOptions } from "../economics/memo-options.ts";
import { sentence } from "../words/figure-words.ts";
import { leastCost } from "./charts/options-cost.ts";
import { assumptionText, sensitivity } from "./charts/sensitivity.ts";
import { type Block, figure, list, paragraph } from "./document.ts";

/** Most assumptions that the two pages before the appendix have room for. */
const mostAssumptions = 5;

/** What could make the ranking wrong, from the numbers and in the facility's own words. */
export function riskBlocks(options: MemoOptions, risks: readonly string[]): readonly Block[] {
  const least = leastCost(options);
  const labels = new Map(options.options.map((one) => [one.id, one.label]));
  const value = (of: number, unit: string): string => assumptionText(of, unit, options.currency);
  const turning = options.sensitivity
    .filter((one) => one.changesRanking)
    .map((one) => {
      const ends = [one.low, one.high].filter((end) => end.best !== least?.id);
      const words = ends.map(
        (end) => `at ${value(end.value, one.unit)} “${labels.get(end.best)}” costs least`,
      );
      return [
        `${sentence(one.assumption)} (taken as ${value(one.base, one.unit)}): ${words.join("; ")}.`,
      ];
    });
  const verdict =
    options.sensitivity.length === 0
      ? "No assumption was varied."
      : turning.length === 0
        ? "Moved one at a time through their ranges, none of the assumptions changes which option costs least."
        : "Moved one at a time through their ranges, these assumptions change which option costs least:";
  const own = risks.map((one) => [one]);
  return [
    paragraph(verdict),
    ...(turning.length + own.length === 0 ? [] : [list([...turning, ...own])]),
    ...(options.sensitivity.length === 0
      ? []
      : [figure(sensitivity(options, mostAssumptions), "One assumption at a time.", 0.9)]),
  ];
}
