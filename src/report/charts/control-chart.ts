import type { Lane } from "../../domain/pool.ts";
import { circuitName, sentence, voltsText } from "../names.ts";
import { slug } from "./slug.ts";
import { type Chart, chart, ink } from "./theme.ts";

/** Readings of one point in the order in which they were taken, with their limits [V]. */
export interface ControlSeries {
  readonly lane: Lane;
  readonly device: string;
  readonly point: string;
  readonly values: readonly { readonly day: string; readonly volts: number }[];
  readonly limits: { readonly centre: number; readonly low: number; readonly high: number };
}

/** Individuals chart of one point's readings: a value outside is a diamond with its volts. */
export function controlChart(series: ControlSeries): Chart {
  const { limits } = series;
  const rows = series.values.map((one, index) => ({
    ...one,
    order: index + 1,
    state: one.volts < limits.low || one.volts > limits.high ? "outside" : "inside",
    label: voltsText(one.volts),
  }));
  const outside = rows.filter((one) => one.state === "outside");
  const name = `${circuitName(series.lane, series.device)} at the ${series.point}`;
  const finding =
    outside.length === 0
      ? `${sentence(name)}: all ${rows.length} readings lie inside their limits`
      : `${sentence(name)}: ${outside.length} of ${rows.length} readings lie outside their limits, first on ${outside[0]?.day}`;
  const words = {
    finding,
    subtitle: `Individuals chart; centre ${limits.centre.toFixed(3)} V, limits ${limits.low.toFixed(3)} V and ${limits.high.toFixed(3)} V; diamonds lie outside`,
    alt: `Control chart of volts, ${name}, ${rows.length} readings in order. ${finding}.`,
  };
  return chart(`control-${slug(`${series.lane}-${series.device}-${series.point}`)}`, words, {
    width: 560,
    height: 220,
    layer: [...limitLayers(series), ...valueLayers(rows)],
  });
}

const y = (field: string) => ({
  field,
  type: "quantitative",
  title: "volts [V]",
  scale: { zero: false },
  axis: { format: ".2f", grid: false },
});

function limitLayers({ limits }: ControlSeries): object[] {
  const rules = [
    { value: limits.high, label: "upper limit", dash: [6, 4] },
    { value: limits.centre, label: "centre", dash: [1, 0] },
    { value: limits.low, label: "lower limit", dash: [6, 4] },
  ];
  return rules.flatMap(({ value, label, dash }) => [
    {
      data: { values: [{ value }] },
      mark: { type: "rule", color: ink.quiet, strokeDash: dash },
      encoding: { y: y("value") },
    },
    {
      data: { values: [{ value, label }] },
      mark: { type: "text", align: "left", dx: 4, color: ink.quiet, fontSize: 10 },
      encoding: { x: { value: 560 }, y: y("value"), text: { field: "label", type: "nominal" } },
    },
  ]);
}

function valueLayers(rows: readonly object[]): object[] {
  const x = {
    field: "day",
    type: "temporal",
    title: "day of the walk",
    scale: { type: "utc" },
    axis: { format: "%Y-%m-%d", labelAngle: -35, grid: false, tickCount: 8 },
  };
  return [
    {
      data: { values: rows },
      mark: { type: "line", color: ink.sound },
      encoding: { x, y: y("volts") },
    },
    {
      data: { values: rows },
      mark: { type: "point", filled: true, color: ink.text, opacity: 1 },
      encoding: {
        x,
        y: y("volts"),
        shape: {
          field: "state",
          type: "nominal",
          scale: { domain: ["inside", "outside"], range: ["circle", "diamond"] },
          legend: null,
        },
        size: { condition: { test: "datum.state === 'outside'", value: 130 }, value: 30 },
        tooltip: [
          { field: "day", type: "temporal", format: "%Y-%m-%d" },
          { field: "volts", type: "quantitative", format: ".2f", title: "volts [V]" },
          { field: "state", type: "nominal" },
        ],
      },
    },
    {
      data: { values: rows },
      transform: [{ filter: { field: "state", equal: "outside" } }],
      mark: { type: "text", align: "left", dx: 10, fontSize: 10 },
      encoding: { x, y: y("volts"), text: { field: "label", type: "nominal" } },
    },
  ];
}
