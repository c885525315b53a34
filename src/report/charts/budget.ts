import type { MemoOptions } from "../../decision/memo-options.ts";
import { connectorName, currencyUnit, moneyText } from "../names.ts";
import { type Chart, chart, ink } from "./theme.ts";

/** Steps that are labelled with their names; more are labelled by number, or they would collide. */
const mostNames = 5;

/** Lanes kept over the limit against money spent, the next best replacement at each step. */
export function budget(memo: MemoOptions): Chart {
  const { currency, lanes } = memo;
  const few = memo.budget.length <= mostNames;
  const steps = memo.budget.map((step, index) => {
    const what = step.replaced === null ? "" : connectorName(step.replaced);
    const label = what === "" ? "" : few ? `${index}. ${what}` : String(index);
    return { spent: step.spent, lanesKept: step.lanesKept, what, label };
  });
  const unit = currencyUnit(currency);
  const first = steps[0];
  const last = steps.at(-1);
  const finding =
    first === undefined || last === undefined
      ? "There is nothing to spend on"
      : `${moneyText(last.spent, currency)} keeps ${lanesText(last.lanesKept)} of ${lanes} lanes over the limit instead of ${lanesText(first.lanesKept)}`;
  const words = {
    finding,
    subtitle: `Each step is the next best replacement for the money${few ? "" : ", numbered in that order"}`,
    alt: `Lanes kept over the limit against money spent, ${steps.length - 1} steps: ${steps
      .slice(1, 9)
      .map((one) => one.what)
      .join(", ")}. ${finding}.`,
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
        mark: few
          ? { type: "text", align: "left", angle: 25, dx: 7, dy: 7, fontSize: 9 }
          : { type: "text", dy: -9, fontSize: 9 },
        encoding: { x, y, text: { field: "label", type: "nominal" } },
      },
    ],
  });
}

const lanesText = (lanes: number): string =>
  Number.isInteger(lanes) ? String(lanes) : lanes.toFixed(1);
