import { moneyText } from "../names.ts";
import { type Chart, chart, ink } from "./theme.ts";

/** What a budget buys, one step for each work in the order in which it pays best. */
export interface BudgetStep {
  /** Money spent up to and with this step [currency]. */
  readonly spent: number;
  /** Lanes expected to stay over the facility's limit through the season. */
  readonly lanesKept: number;
  /** What the step adds: `lane 3 plate connector`. */
  readonly what: string;
}

/** Lanes kept over the limit against money spent. */
export function budget(steps: readonly BudgetStep[], lanes: number, currency: string): Chart {
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
    title: `money spent [${currency}]`,
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
    { field: "spent", type: "quantitative", format: ",.0f", title: `spent [${currency}]` },
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
        mark: { type: "text", align: "left", angle: 25, dx: 7, dy: 7, fontSize: 9 },
        encoding: { x, y, text: { field: "what", type: "nominal" } },
      },
    ],
  });
}

const lanesText = (lanes: number): string =>
  Number.isInteger(lanes) ? String(lanes) : lanes.toFixed(1);
