import type { MemoOption, MemoOptions } from "../decision/memo-options.ts";
import { optionsCost } from "./charts/options-cost.ts";
import { type Block, column, figure, paragraph, table } from "./document.ts";
import { currencyUnit, moneyText } from "./names.ts";

/** What a number is called that the comparison could not define. */
const undefinedText = "–";

const ratio = (value: number | null): string =>
  value === null ? undefinedText : value.toFixed(value < 10 ? 2 : 1);

const percent = (value: number | null): string =>
  value === null ? undefinedText : `${(100 * value).toFixed(1)} %`;

/** Options side by side, by the measures of the standards. */
export function comparisonBlocks(options: MemoOptions): readonly Block[] {
  const money = (amount: number): string => moneyText(amount, "XXX");
  const row = (one: MemoOption): string[] => {
    const against = one.comparison;
    const years = against?.discountedPaybackYear ?? null;
    return [
      one.id === options.preferred ? `${one.label} (least cost)` : one.label,
      money(one.request),
      money(one.lifeCycleCost),
      against === null ? "base case" : money(against.netSavings),
      ratio(against?.savingsToInvestment ?? null),
      percent(against?.adjustedReturn ?? null),
      against === null ? undefinedText : years === null ? "never" : String(years),
      `${one.lanesKept.toFixed(1)} of ${options.lanes}`,
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
        column("SIR", 1.4, "right"),
        column("AIRR", 1.7, "right"),
        column("Paid back, year", 1.7, "right"),
        column("Lanes kept", 2, "right"),
      ],
      options.options.map(row),
    ),
    paragraph(
      "SIR: savings-to-investment ratio. AIRR: adjusted internal rate of return, to be held against the discount rate. Paid back: first year by whose end discounted savings cover the request.",
    ),
    figure(optionsCost(options), "What each option's life-cycle cost is made of.", 0.72),
  ];
}
