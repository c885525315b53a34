import type { Estimate } from "../../domain/findings.ts";
import type { CircuitName } from "../../domain/place.ts";
import type { WorkAction } from "../../domain/work.ts";
import { circuitText, sentence } from "../names.ts";
import { slug } from "./slug.ts";
import { type Chart, chart, ink } from "./theme.ts";

/** Days, `YYYY-MM-DD`: median and 80 % interval; `high` is null where it lies beyond all forecast. */
export interface Crossing {
  readonly median: string;
  readonly low: string;
  readonly high: string | null;
}

/** A contact through the season. Days are `YYYY-MM-DD`. */
export interface ContactSeries extends CircuitName {
  readonly point: string;
  /** One a walk, oldest first: resistance, infinite for open [Ω]. */
  readonly walks: readonly { readonly day: string; readonly ohms: Estimate }[];
  readonly work: readonly { readonly day: string; readonly action: WorkAction }[];
  /** Forecast, oldest first: median and 80 % interval [Ω]. */
  readonly forecast: readonly { readonly day: string; readonly ohms: Estimate }[];
  /** Resistance at which the last point's reading falls to the facility's limit [Ω]. */
  readonly limitOhms: number | null;
  /** Day on which the circuit's last point falls to the limit; null where it does not. */
  readonly crossing: Crossing | null;
}

/** Log axes have no zero: what is under this is drawn here [Ω]. */
const floorOhms = 0.05;
const ceilingOhms = 10_000;
const drawn = (value: number): number => Math.min(Math.max(value, floorOhms), ceilingOhms);

/** A contact's history: walks with intervals, work as upright lines, forecast fan and limit. */
export function contactHistory(series: ContactSeries): Chart {
  const name = `${circuitText(series)}, ${series.point} contact`;
  const { crossing } = series;
  // A path at its limit has the day of the last walk three times: that was seen, not forecast.
  const isThere = crossing !== null && crossing.low === crossing.high;
  const finding = `${sentence(name)}: ${
    crossing === null
      ? "no crossing of the limit in sight"
      : isThere
        ? `its path was at its limit on ${crossing.median}`
        : `its path reaches the limit about ${crossing.median}`
  }`;
  const range =
    crossing === null || isThere
      ? ""
      : ` (80 %: ${crossing.low} to ${crossing.high ?? "beyond the forecast"})`;
  const words = {
    finding,
    subtitle: `Dots and bars are walks (90 %), band the forecast (80 %), upright lines the work done, dashes the limit${range === "" ? "" : `; crossing${range}`}`,
    alt: `Resistance of the ${name} over ${series.walks.length} walks, with ${series.work.length} entries of work and a forecast. ${finding}${range}.`,
  };
  const walks = series.walks.map(({ day, ohms }) => ({
    day,
    median: drawn(ohms.median),
    low: drawn(ohms.low),
    high: drawn(ohms.high),
    shown: Number.isFinite(ohms.median) ? "measured" : "open",
  }));
  const fan = series.forecast.map(({ day, ohms }) => ({
    day,
    median: drawn(ohms.median),
    low: drawn(ohms.low),
    high: drawn(ohms.high),
  }));
  return chart(`history-${slug(`${circuitText(series)} ${series.point}`)}`, words, {
    width: 560,
    height: 240,
    layer: [
      ...fanLayers(fan),
      ...workLayers(series),
      ...limitLayers(series.limitOhms),
      ...walkLayers(walks),
    ],
  });
}

const x = {
  field: "day",
  type: "temporal",
  title: "day of the walk",
  scale: { type: "utc" },
  axis: { format: "%Y-%m-%d", labelAngle: -35, grid: false, tickCount: 8 },
};

const y = (field: string) => ({
  field,
  type: "quantitative",
  title: "contact resistance [Ω], log scale",
  scale: { type: "log" },
  axis: { values: [0.1, 1, 10, 100, 1000, 10000], format: ",.1~f" },
});

const fanLayers = (values: readonly object[]): object[] => [
  {
    data: { values },
    mark: { type: "area", color: ink.band, opacity: 0.6 },
    encoding: { x, y: y("low"), y2: { field: "high" } },
  },
  {
    data: { values },
    mark: { type: "line", color: ink.sound, strokeDash: [5, 3] },
    encoding: { x, y: y("median") },
  },
];

const workLayers = (series: ContactSeries): object[] => [
  {
    data: { values: series.work },
    mark: { type: "rule", color: ink.quiet },
    encoding: { x },
  },
  {
    data: { values: series.work },
    mark: {
      type: "text",
      angle: 270,
      align: "right",
      baseline: "top",
      dx: -4,
      dy: 3,
      fontSize: 10,
    },
    encoding: { x, y: { value: 0 }, text: { field: "action", type: "nominal" } },
  },
];

const limitLayers = (limit: number | null): object[] =>
  limit === null
    ? []
    : [
        {
          data: { values: [{ limit }] },
          mark: { type: "rule", color: ink.text, strokeDash: [8, 4] },
          encoding: { y: y("limit") },
        },
        {
          data: { values: [{ limit, label: "limit" }] },
          mark: { type: "text", align: "left", dx: 4, dy: -6, fontSize: 10 },
          encoding: {
            x: { value: 0 },
            y: y("limit"),
            text: { field: "label", type: "nominal" },
          },
        },
      ];

const walkLayers = (values: readonly object[]): object[] => [
  {
    data: { values },
    mark: { type: "rule", color: ink.text },
    encoding: { x, y: y("low"), y2: { field: "high" } },
  },
  {
    data: { values },
    mark: { type: "point", filled: true, color: ink.text, size: 45, opacity: 1 },
    encoding: {
      x,
      y: y("median"),
      shape: {
        field: "shown",
        type: "nominal",
        scale: { domain: ["measured", "open"], range: ["circle", "triangle-up"] },
        legend: null,
      },
      tooltip: [
        { field: "day", type: "temporal", format: "%Y-%m-%d" },
        { field: "median", type: "quantitative", format: ",.3~f", title: "median" },
        { field: "low", type: "quantitative", format: ",.3~f", title: "low" },
        { field: "high", type: "quantitative", format: ",.3~f", title: "high" },
      ],
    },
  },
];
