import { moneyText } from "../names.ts";
import { type Chart, chart, ink } from "./theme.ts";

/** One course of action, by what it costs over the study period in present value [currency]. */
export interface OptionCost {
  readonly name: string;
  /** What it is made of: first cost, cleaning, lost lanes; in the order in which to stack. */
  readonly parts: readonly { readonly what: string; readonly amount: number }[];
  readonly total: number;
  /** 80 % interval of the total; null where nothing was varied. */
  readonly interval: { readonly low: number; readonly high: number } | null;
}

/** Lightness steps that a black-and-white printer keeps apart. */
const shades = ["#1f4e79", "#5b9bd5", "#bdd7ee", "#e8eef4", "#8c8c8c"];

/** Options by life-cycle cost, cheapest marked in words. */
export function optionsCost(
  options: readonly OptionCost[],
  currency: string,
  years: number,
): Chart {
  const cheapest = options.toSorted((a, b) => a.total - b.total)[0];
  const finding =
    cheapest === undefined
      ? "No option was compared"
      : `${cheapest.name} costs least over ${years} years: ${moneyText(cheapest.total, currency)}`;
  const words = {
    finding,
    subtitle: `Life-cycle cost in present value [${currency}]${
      options.some((one) => one.interval !== null) ? "; line: 80 % interval of the total" : ""
    }`,
    alt: `Options by life-cycle cost: ${options
      .map((one) => `${one.name} ${moneyText(one.total, currency)}`)
      .join(", ")}. ${finding}.`,
  };
  const names = options.map((one) => one.name);
  const parts = options.flatMap((option) =>
    option.parts.map((part, order) => ({ option: option.name, ...part, order })),
  );
  const totals = options.map((one) => ({
    option: one.name,
    total: one.total,
    low: one.interval?.low ?? null,
    high: one.interval?.high ?? null,
    end: Math.max(one.total, one.interval?.high ?? 0),
    label: `${moneyText(one.total, currency)}${one === cheapest ? ", least" : ""}`,
  }));
  const whats = [...new Set(parts.map((one) => one.what))];
  return chart("options", words, {
    width: 420,
    height: { step: 36 },
    layer: layers(names, parts, totals, whats, currency),
  });
}

function layers(
  names: readonly string[],
  parts: readonly object[],
  totals: readonly object[],
  whats: readonly string[],
  currency: string,
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
    title: `life-cycle cost, present value [${currency}]`,
    axis: { format: ",.0f", tickCount: 5 },
  });
  return [
    {
      data: { values: parts },
      mark: { type: "bar", height: { band: 0.6 }, stroke: ink.text, strokeWidth: 0.75 },
      encoding: {
        y,
        x: { ...x("amount"), stack: "zero" },
        order: { field: "order", type: "ordinal" },
        color: {
          field: "what",
          type: "nominal",
          title: null,
          scale: { domain: whats, range: whats.map((_, index) => shades[index % shades.length]) },
          legend: {
            orient: "bottom",
            columns: 3,
            symbolStrokeColor: ink.text,
            symbolType: "square",
          },
        },
        tooltip: [
          { field: "option", type: "nominal" },
          { field: "what", type: "nominal" },
          { field: "amount", type: "quantitative", format: ",.0f", title: `amount [${currency}]` },
        ],
      },
    },
    {
      data: { values: totals },
      transform: [{ filter: "isValid(datum.low)" }],
      mark: { type: "rule", color: ink.text, strokeWidth: 2 },
      encoding: { y, x: x("low"), x2: { field: "high" } },
    },
    {
      data: { values: totals },
      mark: { type: "text", align: "left", dx: 6 },
      encoding: { y, x: x("end"), text: { field: "label", type: "nominal" } },
    },
  ];
}
