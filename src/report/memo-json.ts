import type { Place } from "../domain/place.ts";
import type { Reject } from "../domain/reading.ts";
import type { MemoOption, MemoOptions } from "../economics/memo-options.ts";
import { placeJson } from "./place-json.ts";

const optionJson = ({ replaced, comparison, ...option }: MemoOption) => ({
  id: option.id,
  kind: option.kind,
  label: option.label,
  parts: replaced.map((place: Place & { readonly connector: string }) => placeJson(place)),
  request: option.request,
  presentCost: option.lifeCycleCost,
  netSavings: comparison?.netSavings ?? 0,
  chanceSaves: option.chanceSaves,
  savingsToInvestment: comparison?.savingsToInvestment ?? null,
  addedInvestment: comparison?.addedInvestment ?? null,
  lostLanes: option.lostLanes,
});

/** What `memo --json` prints: the options in numbers, and what is asked for; null: nothing is. */
export function memoJson(
  pool: string,
  walk: string,
  options: MemoOptions,
  rejected: readonly Reject[],
): string {
  const requested = options.options.find(({ id }) => id === options.requested);
  const answer = {
    schema: "dropwise-memo-2",
    pool,
    walk,
    base: "decide",
    currency: options.currency,
    options: options.options.map(optionJson),
    request:
      requested === undefined
        ? null
        : {
            id: requested.id,
            parts: requested.replaced.map(placeJson),
            amount: requested.request,
          },
    rejected,
  };
  return `${JSON.stringify(answer, null, 2)}\n`;
}
