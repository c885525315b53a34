import type { Estimate } from "../../domain/findings.ts";
import type { CircuitName } from "../../domain/place.ts";
import type { WorkAction } from "../../domain/work.ts";
import { isCalledOpen, sentence } from "../../words/figure-words.ts";
import { circuitText, counted, ohmsText } from "../names.ts";
import { ceilingOhms, drawnOhms, floorOhms, ohmsTicks } from "./ohms-scale.ts";
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

/** What the contact is at: what was seen where its path is at its limit, else the forecast. */
function findingOf(series: ContactSeries): string {
  const name = `${circuitText(series)}, ${series.point} contact`;
  const { crossing, limitOhms } = series;
  if (crossing === null) return `${sentence(name)}: no crossing of the limit in sight`;
  // A path at its limit has the day of the last walk three times: that was seen, not forecast.
  if (crossing.low !== crossing.high)
    return `${sentence(name)}: its path reaches the limit about ${crossing.median}`;
  const last = series.walks.at(-1);
  if (last === undefined || limitOhms === null || last.ohms.median < limitOhms)
    return `${sentence(name)}: its path is at its limit`;
  const now = ohmsText(last.ohms.median);
  return `${sentence(name)}: ${now} on ${last.day}, over the limit of ${ohmsText(limitOhms)}`;
}

/** What stands for what: only of what is drawn. */
function legendOf({ work, forecast, limitOhms, crossing }: ContactSeries): string {
  const parts = [
    "Computed from the readings: dot and line are a walk (90 %), a triangle is open",
    ...(forecast.length > 0 ? ["dashes and band the forecast (80 %)"] : []),
    ...(work.length > 0 ? ["upright lines the work done"] : []),
    ...(limitOhms === null ? [] : ["the long dashes the limit"]),
  ];
  return `${parts.join("; ")}${rangeOf(crossing, "; crossing ")}`;
}

/** The 80 % interval of a crossing that is forecast. */
const rangeOf = (crossing: Crossing | null, before: string): string =>
  crossing === null || crossing.low === crossing.high
    ? ""
    : `${before}${crossing.low} to ${crossing.high ?? "beyond the forecast"} (80 %)`;

const drawnEstimate = ({ median, low, high }: Estimate) => ({
  median: drawnOhms(median),
  low: drawnOhms(low),
  high: drawnOhms(high),
});

/** A contact's history: walks with intervals, work as upright lines, forecast fan and limit. */
export function contactHistory(series: ContactSeries): Chart {
  const finding = findingOf(series);
  const words = {
    finding,
    subtitle: legendOf(series),
    alt: `Resistance of the ${circuitText(series)} ${series.point} contact, computed, over ${counted(series.walks.length, "walk")}, with ${counted(series.work.length, "entry", "entries")} of work${series.forecast.length > 0 ? " and a forecast" : ""}. ${finding}${rangeOf(series.crossing, ", ")}.`,
  };
  const walks = series.walks.map(({ day, ohms }) => ({
    day,
    ...drawnEstimate(ohms),
    shown: isCalledOpen(ohms.median) ? "open" : "computed",
    label: ohmsText(ohms.median),
  }));
  const fan = series.forecast.map(({ day, ohms }) => ({ day, ...drawnEstimate(ohms) }));
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
  // A dot on the first or the last day is drawn whole.
  scale: { type: "utc", padding: 10 },
  axis: { format: "%Y-%m-%d", labelAngle: -35, grid: false, tickCount: 8 },
};

const y = (field: string) => ({
  field,
  type: "quantitative",
  title: "contact resistance [Ω], log scale",
  scale: { type: "log", domain: [floorOhms, ceilingOhms], nice: false },
  axis: ohmsTicks,
});

const fanLayers = (values: readonly object[]): object[] => (values.length === 0 ? [] : fan(values));

const fan = (values: readonly object[]): object[] => [
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
    transform: [{ filter: "datum.shown === 'open'" }],
    mark: { type: "text", align: "right", dx: -8, fontSize: 10 },
    encoding: { x, y: y("median"), text: { field: "label", type: "nominal" } },
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
        scale: { domain: ["computed", "open"], range: ["circle", "triangle-up"] },
        legend: null,
      },
      tooltip: [
        { field: "day", type: "temporal", format: "%Y-%m-%d" },
        { field: "label", type: "nominal", title: "median" },
        { field: "low", type: "quantitative", format: ",.3~f", title: "low" },
        { field: "high", type: "quantitative", format: ",.3~f", title: "high" },
      ],
    },
  },
];
