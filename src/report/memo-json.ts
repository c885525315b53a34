import type { MemoOption, MemoOptions } from "../decision/memo-options.ts";
import type { Place } from "../domain/place.ts";
import type { Reject } from "../domain/reading.ts";
import { placeJson } from "./place-json.ts";

const optionJson = ({ id, kind, label, replaced, lifeCycleCost, comparison }: MemoOption) => ({
  id,
  kind,
  label,
  parts: replaced.map((place: Place & { readonly connector: string }) => placeJson(place)),
  presentCost: lifeCycleCost,
  netSavings: comparison?.netSavings ?? 0,
});

/** What `memo --json` prints: the options in numbers, and what is asked for; null: nothing is. */
export function memoJson(
  pool: string,
  walk: string,
  options: MemoOptions,
  rejected: readonly Reject[],
): string {
  const preferred = options.options.find(({ id }) => id === options.preferred);
  const answer = {
    schema: "dropwise-memo-2",
    pool,
    walk,
    base: "decide",
    currency: options.currency,
    options: options.options.map(optionJson),
    request:
      preferred === undefined || preferred.replaced.length === 0
        ? null
        : {
            id: preferred.id,
            parts: preferred.replaced.map(placeJson),
            amount: preferred.request,
          },
    rejected,
  };
  return `${JSON.stringify(answer, null, 2)}\n`;
}
