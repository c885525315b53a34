import type { ConnectorFinding, WalkDiagnosis } from "../../domain/findings.ts";
import { isCalledOpen } from "../../words/figure-words.ts";
import { connectorName, leadFinding, ohmsText, percentText, voltsText } from "../names.ts";
import { suspectsToVisit } from "../worth-saying.ts";
import { ceilingOhms, drawnOhms, floorOhms, ohmsTicks } from "./ohms-scale.ts";
import { type Chart, chart, ink } from "./theme.ts";

/** One row of the chart: what the title says of a connector, drawn. */
interface SuspectRow {
  readonly name: string;
  /** Named in the title; the others are drawn to show how far behind they are. */
  readonly isSuspect: boolean;
  readonly volts: number;
  readonly voltsLabel: string;
  readonly sure: string;
  readonly median: number;
  readonly low: number;
  readonly high: number;
  /** Median and both ends of the interval, or that there is no conduction. */
  readonly ohmsLabel: string;
  readonly shown: "ohms" | "open";
}

/** A connector that is no suspect is drawn from this chance on. */
const worthDrawing = 0.05;

function row(finding: ConnectorFinding, isSuspect: boolean): SuspectRow {
  const { median, low, high } = finding.worst.ohms;
  return {
    name: connectorName(finding),
    isSuspect,
    volts: finding.voltsLost,
    voltsLabel: voltsText(finding.voltsLost),
    sure: percentText(finding.atFault),
    median: drawnOhms(median),
    low: drawnOhms(low),
    high: drawnOhms(high),
    ohmsLabel: ohmsText(median),
    shown: isCalledOpen(median) ? "open" : "ohms",
  };
}

/**
 * The suspects in the order of the headline, which is the way on which they lie: the volts that each
 * takes, how sure that is, and the resistance of its worst contact. Below them the next likely.
 *
 * @param most Bars at most [bars; whole, 1 or more].
 */
export function suspects(walk: WalkDiagnosis, most = 8): Chart {
  const toVisit = suspectsToVisit(walk.connectors);
  const others = walk.connectors
    .filter((one) => one.atFault >= worthDrawing && !toVisit.includes(one))
    .toSorted((a, b) => b.atFault - a.atFault);
  const found = [...toVisit, ...others];
  const shown = (found.length === 0 ? walk.connectors.slice(0, 3) : found).slice(0, most);
  const rows = shown.map((one) => row(one, toVisit.includes(one)));
  const finding = leadFinding(walk.connectors);
  const words = {
    finding,
    subtitle: `Walk ${walk.walk}, computed from its readings. ${barsText(rows)}Dot and line: median and 90 % interval of the worst contact`,
    alt: `Suspects of walk ${walk.walk}, computed: ${shown
      .slice(0, 3)
      .map(
        (one) =>
          `${connectorName(one)} drops ${voltsText(one.voltsLost)}, ${percentText(one.atFault)} sure`,
      )
      .join("; ")}. ${finding}.`,
  };
  return chart("suspects", words, {
    data: { values: rows },
    hconcat: [voltsPanel(rows), surePanel(rows), ohmsPanel(rows)],
    spacing: 12,
  });
}

/** What the bars' two shades mean, where both are drawn. */
const barsText = (rows: readonly SuspectRow[]): string =>
  rows.some((one) => one.isSuspect) && rows.some((one) => !one.isSuspect)
    ? "Bars: dark are suspects, light the next likely. "
    : "";

/** Height of a row [px]. */
const step = 28;

const rowsOf = (rows: readonly SuspectRow[], axis: object | null) => ({
  field: "name",
  type: "nominal",
  sort: rows.map((one) => one.name),
  title: null,
  axis,
});

function voltsPanel(rows: readonly SuspectRow[]): object {
  const y = rowsOf(rows, { domain: false, ticks: false });
  const x = {
    field: "volts",
    type: "quantitative",
    title: "drops [V]",
    // Room for the label of the longest bar.
    scale: { domain: [0, 1.35 * Math.max(0.1, ...rows.map((one) => one.volts))], nice: false },
    axis: { tickCount: 4, format: "~f" },
  };
  return {
    width: 170,
    height: { step },
    layer: [
      {
        mark: { type: "bar", stroke: ink.text, strokeWidth: 0.75, height: { band: 0.6 } },
        encoding: {
          x,
          y,
          color: {
            field: "isSuspect",
            type: "nominal",
            scale: { domain: [true, false], range: [ink.sound, ink.band] },
            legend: null,
          },
          tooltip: [{ field: "name" }, { field: "voltsLabel", title: "drops" }],
        },
      },
      {
        mark: { type: "text", align: "left", dx: 4 },
        encoding: { x, y, text: { field: "voltsLabel", type: "nominal" } },
      },
    ],
  };
}

/** A column of words: a chance is one number and needs no length of its own. */
const surePanel = (rows: readonly SuspectRow[]): object => ({
  width: 66,
  height: { step },
  title: { text: "sure", fontSize: 11, fontWeight: "normal", anchor: "middle", offset: 4 },
  mark: { type: "text", align: "center" },
  encoding: {
    x: { value: 33 },
    y: rowsOf(rows, null),
    text: { field: "sure", type: "nominal" },
  },
});

function ohmsPanel(rows: readonly SuspectRow[]): object {
  const y = rowsOf(rows, null);
  const x = (field: string) => ({
    field,
    type: "quantitative",
    title: "worst contact [Ω], log scale",
    scale: { type: "log", domain: [floorOhms, ceilingOhms], nice: false },
    axis: ohmsTicks,
  });
  return {
    width: 230,
    height: { step },
    layer: [
      {
        mark: { type: "rule", color: ink.text, strokeWidth: 1.5 },
        encoding: { x: x("low"), x2: { field: "high" }, y },
      },
      ...["low", "high"].map((end) => ({
        mark: { type: "tick", color: ink.text, thickness: 1.5, size: 10 },
        encoding: { x: x(end), y },
      })),
      {
        mark: { type: "point", filled: true, color: ink.text, size: 50, opacity: 1 },
        encoding: {
          x: x("median"),
          y,
          shape: {
            field: "shown",
            type: "nominal",
            scale: { domain: ["ohms", "open"], range: ["circle", "triangle-right"] },
            legend: null,
          },
          tooltip: [{ field: "name" }, { field: "ohmsLabel", title: "median" }],
        },
      },
      {
        transform: [{ filter: "datum.shown === 'ohms'" }],
        mark: { type: "text", dy: -10, fontSize: 10 },
        encoding: { x: x("median"), y, text: { field: "ohmsLabel", type: "nominal" } },
      },
      {
        // Beside the scale, which has no place for what is infinite.
        transform: [{ filter: "datum.shown === 'open'" }],
        mark: { type: "text", align: "left", dx: 8, fontSize: 10 },
        encoding: { x: x("median"), y, text: { field: "ohmsLabel", type: "nominal" } },
      },
    ],
  };
}
