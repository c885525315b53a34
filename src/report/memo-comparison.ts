import type { MemoOption, MemoOptions } from "../economics/memo-options.ts";
import { leastCost, optionsCost } from "./charts/options-cost.ts";
import { type Block, column, figure, paragraph, table } from "./document.ts";
import { amountText, counted, currencyUnit, percentText } from "./names.ts";

/** What a number is called that the comparison could not define. */
const undefinedText = "–";

/** The sign that amounts of money have too. */
const minus = (number: string): string => number.replace("-", "−");

const ratio = (value: number | null): string =>
  value === null ? undefinedText : minus(value.toFixed(value < 10 ? 2 : 1));

const percent = (value: number | null): string =>
  value === null ? undefinedText : `${minus((100 * value).toFixed(1))} %`;

/** Lanes lost, with as many digits as tell something. */
export const lostText = (lanes: number): string => lanes.toFixed(lanes < 10 ? 1 : 0);

/** Most options that the two pages before the appendix have room for. */
const mostOptions = 4;

/**
 * The options that the request is decided on: the plan, what is asked for and those that cost least,
 * in their own order.
 */
export function mainOptions({ options, requested }: MemoOptions): readonly MemoOption[] {
  const always = (one: MemoOption): boolean => one.kind === "plan" || one.id === requested;
  const rest = options
    .filter((one) => !always(one))
    .toSorted((a, b) => a.lifeCycleCost - b.lifeCycleCost);
  const room = Math.max(0, mostOptions - options.filter(always).length);
  const kept = rest.slice(0, room);
  return options.filter((one) => always(one) || kept.includes(one));
}

/** The measures of the standards, an option a row. */
export function comparisonTable(options: MemoOptions, shown: readonly MemoOption[]): Block {
  const least = leastCost(options);
  const row = (one: MemoOption): string[] => {
    const against = one.comparison;
    const years = against?.discountedPaybackYear ?? null;
    return [
      one === least ? `${one.label} (least cost)` : one.label,
      amountText(one.request),
      amountText(one.lifeCycleCost),
      against === null ? "base" : amountText(against.netSavings),
      one.chanceSaves === null ? undefinedText : percentText(one.chanceSaves),
      ratio(against?.savingsToInvestment ?? null),
      percent(against?.adjustedReturn ?? null),
      against === null ? undefinedText : years === null ? "never" : String(years),
      lostText(one.lostLanes.onAverage),
    ];
  };
  return table(
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
    shown.map(row),
  );
}

/** What the table's measures mean, for the appendix. */
export const measuresText =
  "Net savings are against the plan, over all assumptions as they are; the chance is over all of them moving together. SIR, the savings-to-investment ratio, is the present value of cleaning and lost lanes saved, divided by the present value of replacements bought and renewed beyond the plan's; a dash where there are none beyond. AIRR: adjusted internal rate of return on the same investment, to be held against the discount rate. Paid back: first year by whose end discounted savings cover that investment.";

/** Options side by side, those that the request is decided on; the rest stands in the appendix. */
export function comparisonBlocks(options: MemoOptions): readonly Block[] {
  const shown = mainOptions(options);
  const left = options.options.length - shown.length;
  return [
    comparisonTable(options, shown),
    paragraph(
      `Savings are against the plan${left === 0 ? "" : `; ${counted(left, "dearer option")} and what each measure means in the appendix`}.`,
    ),
    figure(
      optionsCost({ ...options, options: shown }),
      "What each option's life-cycle cost is made of.",
      0.9,
    ),
  ];
}
