import { dayText } from "../../domain/calendar.ts";
import type { PointChart } from "../../history/point-chart.ts";
import { sentence } from "../../words/figure-words.ts";
import { circuitText, voltsText } from "../names.ts";
import { slug } from "./slug.ts";
import { type Chart, chart, ink } from "./theme.ts";

/**
 * Individuals chart of one point's readings with growth taken out: what is charted is the reading
 * less what the contacts' lines expect. A value outside its limits is a diamond with its reading.
 */
export function controlChart(series: PointChart): Chart {
  const { limits } = series;
  const rows = series.readings.map((one) => ({
    day: dayText(one.day),
    volts: one.volts,
    departure: one.volts - one.expected,
    state: one.flagged ? "outside" : "inside",
    label: voltsText(one.volts),
  }));
  const outside = rows.filter((one) => one.state === "outside");
  const name = `${circuitText(series)} at the ${series.point}`;
  const finding =
    limits === null
      ? `${sentence(name)}: too few readings to say what is usual`
      : outside.length === 0
        ? `${sentence(name)}: all ${rows.length} readings are as expected`
        : `${sentence(name)}: ${outside.length} of ${rows.length} readings ${outside.length === 1 ? "is" : "are"} not as expected, first on ${outside[0]?.day}`;
  const range =
    limits === null
      ? ""
      : ` Dashes: how far readings go by themselves, ${limits.low.toFixed(3)} V to ${limits.high.toFixed(3)} V.`;
  const words = {
    finding,
    subtitle: `What was read, less what growth lets expect (computed).${range} Diamonds lie outside; the volts beside them were read`,
    alt: `Control chart of volts, ${name}, ${rows.length} readings in order, each less what was expected of it. ${finding}.`,
  };
  return chart(`control-${slug(`${circuitText(series)} ${series.point}`)}`, words, {
    width: 560,
    height: 220,
    layer: [...limitLayers(limits), ...valueLayers(rows)],
  });
}

const y = (field: string) => ({
  field,
  type: "quantitative",
  title: "read less expected [V]",
  scale: { zero: false, padding: 12 },
  axis: { format: ".2f", grid: false },
});

function limitLayers(limits: PointChart["limits"]): object[] {
  if (limits === null) return [];
  const rules = [
    { value: limits.high, label: "usually under", dash: [6, 4] },
    { value: limits.centre, label: "usual", dash: [1, 0] },
    { value: limits.low, label: "usually over", dash: [6, 4] },
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
    scale: { type: "utc", padding: 10 },
    axis: { format: "%Y-%m-%d", labelAngle: -35, grid: false, tickCount: 8 },
  };
  return [
    {
      data: { values: rows },
      mark: { type: "line", color: ink.sound },
      encoding: { x, y: y("departure") },
    },
    {
      data: { values: rows },
      mark: { type: "point", filled: true, color: ink.text, opacity: 1 },
      encoding: {
        x,
        y: y("departure"),
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
      encoding: { x, y: y("departure"), text: { field: "label", type: "nominal" } },
    },
  ];
}
