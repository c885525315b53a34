import type { MemoOptions } from "../../decision/memo-options.ts";
import { connectorName, currencyUnit, moneyText } from "../names.ts";
import { type Chart, chart, ink } from "./theme.ts";

/** Lanes kept over the limit against money spent, the next best replacement at each step. */
export function budget(memo: MemoOptions): Chart {
  const { currency, lanes } = memo;
  const steps = memo.budget.map((step) => ({
    spent: step.spent,
    lanesKept: step.lanesKept,
    what: step.replaced === null ? "" : connectorName(step.replaced),
  }));
  const unit = currencyUnit(currency);
  const first = steps[0];
  const last = steps.at(-1);
  const finding =
    first === undefined || last === undefined
      ? "There is nothing to spend on"
      : `${moneyText(last.spent, currency)} keeps ${lanesText(last.lanesKept)} of ${lanes} lanes over the limit instead of ${lanesText(first.lanesKept)}`;
  const words = {
    finding,
    subtitle: "Each step is the next best piece of work for the money",
    alt: `Lanes kept over the limit against money spent, ${steps.length} steps. ${finding}.`,
  };
  const x = {
    field: "spent",
    type: "quantitative",
    title: `money spent [${unit}]`,
    axis: { format: ",.0f", grid: false, tickCount: 6 },
  };
  const y = {
    field: "lanesKept",
    type: "quantitative",
    title: "lanes kept over the limit [lanes]",
    scale: { domain: [0, lanes] },
    axis: { tickMinStep: 1, format: ".0f" },
  };
  const tooltip = [
    { field: "what", type: "nominal", title: "adds" },
    { field: "spent", type: "quantitative", format: ",.0f", title: `spent [${unit}]` },
    { field: "lanesKept", type: "quantitative", format: ".1f", title: "lanes kept" },
  ];
  return chart("budget", words, {
    data: { values: steps },
    width: 520,
    height: 240,
    layer: [
      { mark: { type: "line", interpolate: "step-after", color: ink.sound }, encoding: { x, y } },
      {
        mark: { type: "point", filled: true, color: ink.text, size: 45, opacity: 1 },
        encoding: { x, y, tooltip },
      },
      {
        transform: [{ filter: "datum.what" }],
        mark: { type: "text", align: "left", angle: 25, dx: 7, dy: 7, fontSize: 9 },
        encoding: { x, y, text: { field: "what", type: "nominal" } },
      },
    ],
  });
}

const lanesText = (lanes: number): string =>
  Number.isInteger(lanes) ? String(lanes) : lanes.toFixed(1);
