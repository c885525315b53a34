import { moneyText, sentence } from "../names.ts";
import { type Chart, chart, ink } from "./theme.ts";

/** What one assumption does to the result when it alone is moved through its range. */
export interface Swing {
  readonly assumption: string;
  /** The ends of its range as the reader knows them: `2 %`, `40 EUR/h`. */
  readonly lowText: string;
  readonly highText: string;
  /** The result at those ends [currency]. */
  readonly atLow: number;
  readonly atHigh: number;
}

/** Sensitivity, one assumption at a time, the widest on top. */
export function sensitivity(
  measure: string,
  base: number,
  swings: readonly Swing[],
  currency: string,
): Chart {
  const width = (one: Swing): number => Math.abs(one.atHigh - one.atLow);
  const ranked = swings.toSorted((a, b) => width(b) - width(a));
  const turning = ranked.filter((one) => one.atLow * base < 0 || one.atHigh * base < 0);
  const widest = ranked[0];
  const finding =
    widest === undefined
      ? `Nothing was varied: ${measure} ${moneyText(base, currency)}`
      : turning.length === 0
        ? `${sentence(measure)} keeps its sign whatever single assumption is moved; ${widest.assumption} matters most`
        : `${sentence(measure)} changes sign with ${turning.map((one) => one.assumption).join(", ")}`;
  const words = {
    finding,
    subtitle: `${sentence(measure)} is ${moneyText(base, currency)} as assumed; each bar moves one assumption through its range. Dark: low end; light: high end`,
    alt: `Sensitivity of ${measure}, base ${moneyText(base, currency)}: ${ranked
      .slice(0, 4)
      .map(
        (one) =>
          `${one.assumption} ${moneyText(one.atLow, currency)} to ${moneyText(one.atHigh, currency)}`,
      )
      .join("; ")}. ${finding}.`,
  };
  const rows = ranked.flatMap((one) => [
    { assumption: one.assumption, end: "low", text: one.lowText, value: one.atLow, base },
    { assumption: one.assumption, end: "high", text: one.highText, value: one.atHigh, base },
  ]);
  return chart("sensitivity", words, {
    data: { values: rows },
    width: 420,
    height: { step: 30 },
    layer: layers(
      ranked.map((one) => one.assumption),
      measure,
      currency,
    ),
  });
}

function layers(order: readonly string[], measure: string, currency: string): object[] {
  const y = {
    field: "assumption",
    type: "nominal",
    sort: order,
    title: null,
    axis: { domain: false, ticks: false },
  };
  const x = (field: string) => ({
    field,
    type: "quantitative",
    title: `${measure} [${currency}]`,
    scale: { zero: false, padding: 50 },
    axis: { format: ",.0f", tickCount: 6 },
  });
  const label = (test: string, align: string, dx: number) => ({
    transform: [{ filter: test }],
    mark: { type: "text", align, dx, fontSize: 10 },
    encoding: { y, x: x("value"), text: { field: "text", type: "nominal" } },
  });
  return [
    {
      mark: { type: "bar", height: { band: 0.6 }, stroke: ink.text, strokeWidth: 0.75 },
      encoding: {
        y,
        x: { ...x("base"), stack: null },
        x2: { field: "value" },
        color: {
          field: "end",
          type: "nominal",
          scale: { domain: ["low", "high"], range: ["#1f4e79", "#bdd7ee"] },
          legend: null,
        },
        tooltip: [
          { field: "assumption", type: "nominal" },
          { field: "text", type: "nominal", title: "set to" },
          {
            field: "value",
            type: "quantitative",
            format: ",.0f",
            title: `${measure} [${currency}]`,
          },
        ],
      },
    },
    {
      mark: { type: "rule", color: ink.text, strokeWidth: 1.5 },
      encoding: { x: { ...x("base"), aggregate: "min" } },
    },
    label("datum.value < datum.base", "right", -4),
    label("datum.value >= datum.base", "left", 4),
  ];
}
