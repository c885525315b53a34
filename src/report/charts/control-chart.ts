import { dayText } from "../../domain/calendar.ts";
import type { PointChart } from "../../history/point-chart.ts";
import { sentence } from "../../words/figure-words.ts";
import { circuitText, voltsText } from "../names.ts";
import { slug } from "./slug.ts";
import { type Chart, chart, ink } from "./theme.ts";

/** How far beyond its limits a value is drawn to scale, in halves of what lies between them. */
const DRAWN_HALVES = 4;

/**
 * Individuals chart of one point's readings with growth taken out: what is charted is the reading
 * less what the contacts' lines expect. A value outside its limits is a diamond with its reading; one far
 * outside stands as a triangle at the edge, or the limits could not be seen.
 */
export function controlChart(series: PointChart): Chart {
  const { limits } = series;
  const [least, most] = drawnRange(limits);
  const rows = series.readings.map(({ day, volts, expected, flagged }) => {
    const departure = volts - expected;
    const far = departure < least ? "far under" : departure > most ? "far over" : "outside";
    return {
      ...{ day: dayText(day), volts, label: voltsText(volts) },
      departure: Math.min(most, Math.max(least, departure)),
      state: flagged ? far : "inside",
    };
  });
  const outside = rows.filter((one) => one.state !== "inside");
  const isFar = outside.some((one) => one.state !== "outside");
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
    subtitle: `What was read, less what growth lets expect (computed).${range} Diamonds lie outside${isFar ? ", triangles far outside" : ""}; the volts beside them were read`,
    alt: `Control chart of volts, ${name}, ${rows.length} readings in order, each less what was expected of it. ${finding}.`,
  };
  return chart(`control-${slug(`${circuitText(series)} ${series.point}`)}`, words, {
    width: 560,
    height: 220,
    layer: [...limitLayers(limits), ...valueLayers(rows)],
  });
}

/** Between which departures values are drawn to scale [V]. */
function drawnRange(limits: PointChart["limits"]): readonly [number, number] {
  if (limits === null) return [-Infinity, Infinity];
  const reach = (DRAWN_HALVES * (limits.high - limits.low)) / 2;
  return [limits.centre - reach, limits.centre + reach];
}

const y = (field: string) => ({
  field,
  type: "quantitative",
  title: "read less expected [V]",
  scale: { zero: false, padding: 24 },
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
          scale: {
            domain: ["inside", "outside", "far under", "far over"],
            range: ["circle", "diamond", "triangle-down", "triangle-up"],
          },
          legend: null,
        },
        size: { condition: { test: "datum.state !== 'inside'", value: 130 }, value: 30 },
        tooltip: [
          { field: "day", type: "temporal", format: "%Y-%m-%d" },
          { field: "volts", type: "quantitative", format: ".2f", title: "volts [V]" },
          { field: "state", type: "nominal" },
        ],
      },
    },
    ...[
      { side: "datum.departure < 0", dy: 18 },
      { side: "datum.departure >= 0", dy: -12 },
    ].map(({ side, dy }) => ({
      data: { values: rows },
      transform: [{ filter: `datum.state !== 'inside' && ${side}` }],
      mark: { type: "text", dy, fontSize: 10 },
      encoding: { x, y: y("departure"), text: { field: "label", type: "nominal" } },
    })),
  ];
}
