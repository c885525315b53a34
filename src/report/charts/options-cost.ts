import { discountFactor } from "../../economics/life-cycle.ts";
import type { MemoOption, MemoOptions } from "../../economics/memo-options.ts";
import { currencyUnit, moneyText } from "../names.ts";
import { type Chart, chart, ink } from "./theme.ts";

/** Lightness steps that a black-and-white printer keeps apart. */
const shades = ["#1f4e79", "#5b9bd5", "#bdd7ee", "#f2f6fa"];

/** What a life-cycle cost is made of, in the order in which it is stacked. */
const parts = [
  { key: "replacing", what: "bought by the option" },
  { key: "renewing", what: "later replacements" },
  { key: "cleaning", what: "cleaning" },
  { key: "lostLanes", what: "lost lanes" },
] as const;

/** Present value of each part of an option's cash flow [currency]. */
function presentParts(option: MemoOption, memo: MemoOptions) {
  const study = { discountRate: memo.discountRate, years: memo.horizonYears, timing: memo.timing };
  return parts.map(({ key, what }, order) => ({
    option: option.label,
    what,
    order,
    amount: option.cashFlow.reduce(
      (sum, year) => sum + year[key] * discountFactor(study, year.year),
      0,
    ),
  }));
}

/** The option that costs least; the first of equals. */
export const leastCost = ({ options }: MemoOptions): MemoOption | undefined =>
  options.toSorted((a, b) => a.lifeCycleCost - b.lifeCycleCost)[0];

/** Options by life-cycle cost, what each is made of, the cheapest marked in words. */
export function optionsCost(memo: MemoOptions): Chart {
  const { options, currency } = memo;
  const best = leastCost(memo);
  const unit = currencyUnit(currency);
  const finding =
    best === undefined
      ? "No option was compared"
      : `${best.label} costs least over ${memo.horizonYears} years: ${moneyText(best.lifeCycleCost, currency)}`;
  const words = {
    finding,
    subtitle: `Computed life-cycle cost in present value [${unit}], discounted at ${(100 * memo.discountRate).toFixed(1)} % a year`,
    alt: `Options by life-cycle cost: ${options
      .map((one) => `${one.label} ${moneyText(one.lifeCycleCost, currency)}`)
      .join(", ")}. ${finding}.`,
  };
  const totals = options.map((one) => ({
    option: one.label,
    total: one.lifeCycleCost,
    label: `${moneyText(one.lifeCycleCost, currency)}${one === best ? ", least" : ""}`,
  }));
  return chart("options", words, {
    width: 420,
    height: { step: 36 },
    layer: layers(
      options.map((one) => one.label),
      options.flatMap((one) => presentParts(one, memo)),
      totals,
      unit,
    ),
  });
}

function layers(
  names: readonly string[],
  stacked: readonly object[],
  totals: readonly object[],
  unit: string,
): object[] {
  const y = {
    field: "option",
    type: "nominal",
    sort: names,
    title: null,
    axis: { domain: false, ticks: false },
  };
  const x = (field: string) => ({
    field,
    type: "quantitative",
    title: `life-cycle cost, present value [${unit}]`,
    axis: { format: ",.0f", tickCount: 5 },
  });
  return [
    {
      data: { values: stacked },
      mark: { type: "bar", height: { band: 0.6 }, stroke: ink.text, strokeWidth: 0.75 },
      encoding: {
        y,
        x: { ...x("amount"), stack: "zero" },
        order: { field: "order", type: "ordinal" },
        color: {
          field: "what",
          type: "nominal",
          title: null,
          scale: { domain: parts.map(({ what }) => what), range: shades },
          legend: {
            orient: "bottom",
            columns: 4,
            symbolStrokeColor: ink.text,
            symbolType: "square",
          },
        },
        tooltip: [
          { field: "option", type: "nominal" },
          { field: "what", type: "nominal" },
          {
            field: "amount",
            type: "quantitative",
            format: ",.0f",
            title: `present value [${unit}]`,
          },
        ],
      },
    },
    {
      data: { values: totals },
      mark: { type: "text", align: "left", dx: 6 },
      encoding: { y, x: x("total"), text: { field: "label", type: "nominal" } },
    },
  ];
}
