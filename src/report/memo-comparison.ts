import type { MemoOption, MemoOptions } from "../economics/memo-options.ts";
import { leastCost, optionsCost } from "./charts/options-cost.ts";
import { type Block, column, figure, paragraph, table } from "./document.ts";
import { currencyUnit, moneyText, percentText } from "./names.ts";

/** What a number is called that the comparison could not define. */
const undefinedText = "–";

const ratio = (value: number | null): string =>
  value === null ? undefinedText : value.toFixed(value < 10 ? 2 : 1);

const percent = (value: number | null): string =>
  value === null ? undefinedText : `${(100 * value).toFixed(1)} %`;

/** Lanes lost, with as many digits as tell something. */
export const lostText = (lanes: number): string => lanes.toFixed(lanes < 10 ? 1 : 0);

/** Options side by side, by the measures of the standards. */
export function comparisonBlocks(options: MemoOptions): readonly Block[] {
  const money = (amount: number): string => moneyText(amount, "XXX");
  const least = leastCost(options);
  const row = (one: MemoOption): string[] => {
    const against = one.comparison;
    const years = against?.discountedPaybackYear ?? null;
    return [
      one === least ? `${one.label} (least cost)` : one.label,
      money(one.request),
      money(one.lifeCycleCost),
      against === null ? "base" : money(against.netSavings),
      one.chanceSaves === null ? undefinedText : percentText(one.chanceSaves),
      ratio(against?.savingsToInvestment ?? null),
      percent(against?.adjustedReturn ?? null),
      against === null ? undefinedText : years === null ? "never" : String(years),
      lostText(one.lostLanes.onAverage),
    ];
  };
  return [
    table(
      `Amounts in ${currencyUnit(options.currency)}, present value over ${options.horizonYears} years at ${(100 * options.discountRate).toFixed(1)} % real`,
      [
        column("Option", 5),
        column("Request", 2, "right"),
        column("Life-cycle cost", 2, "right"),
        column("Net savings", 2, "right"),
        column("Chance it saves", 1.8, "right"),
        column("SIR", 1.4, "right"),
        column("AIRR", 1.7, "right"),
        column("Paid back, year", 1.7, "right"),
        column("Lanes lost a year", 1.8, "right"),
      ],
      options.options.map(row),
    ),
    paragraph(
      "Net savings are against the plan, over all assumptions as they are; the chance is over all of them moving together. SIR, the savings-to-investment ratio, is the present value of cleaning and lost lanes saved, divided by the present value of replacements bought and renewed beyond the plan's; a dash where there are none beyond. AIRR: adjusted internal rate of return on the same investment, to be held against the discount rate. Paid back: first year by whose end discounted savings cover that investment.",
    ),
    figure(optionsCost(options), "What each option's life-cycle cost is made of.", 0.72),
  ];
}
