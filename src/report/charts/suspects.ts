import type { ConnectorFinding, WalkDiagnosis } from "../../domain/findings.ts";
import { connectorName, ohmsText, percentText, sentence } from "../names.ts";
import { type Chart, chart, ink } from "./theme.ts";

/** One bar of the ranking. */
interface SuspectRow {
  readonly name: string;
  readonly percent: number;
  readonly percentLabel: string;
  readonly median: number | null;
  readonly low: number | null;
  readonly high: number | null;
  readonly ohmsLabel: string;
  readonly open: boolean;
}

/** Log axes have no zero: what is under this is drawn here, and its label says the number [Ω]. */
const floorOhms = 0.05;

function row(finding: ConnectorFinding, rank: number): SuspectRow {
  const { median, low, high } = finding.worst.ohms;
  const drawn = (ohms: number): number | null =>
    Number.isFinite(ohms) ? Math.max(ohms, floorOhms) : null;
  return {
    name: `${rank}. ${connectorName(finding)}`,
    percent: 100 * finding.atFault,
    percentLabel: percentText(finding.atFault),
    median: drawn(median),
    low: drawn(low),
    high: drawn(high),
    ohmsLabel: ohmsText(median),
    open: !Number.isFinite(high),
  };
}

/** The ranked suspects: how likely each is at fault, and the resistance of its worst contact. */
export function suspects(walk: WalkDiagnosis, most = 8): Chart {
  const rows = walk.connectors.slice(0, most).map((one, index) => row(one, index + 1));
  const lead = walk.connectors[0];
  const finding =
    lead === undefined
      ? "No circuit was read"
      : `${sentence(connectorName(lead))} is at fault with probability ${percentText(lead.atFault)}`;
  const words = {
    finding,
    subtitle: `Walk ${walk.walk}: the ${rows.length} most likely of ${walk.connectors.length} connectors; dot and line are median and 90 % interval of the worst contact`,
    alt: `Ranked suspects, walk ${walk.walk}: ${walk.connectors
      .slice(0, 3)
      .map((one) => `${connectorName(one)} ${percentText(one.atFault)}`)
      .join(", ")}. ${finding}.`,
  };
  const largest = Math.max(1000, ...rows.flatMap((one) => [one.median ?? 0, one.high ?? 0]));
  return chart("suspects", words, {
    data: { values: rows },
    hconcat: [probabilityPanel(rows), resistancePanel(rows, largest)],
    spacing: 18,
  });
}

const sorted = (rows: readonly SuspectRow[], axis: object | null) => ({
  field: "name",
  type: "nominal",
  sort: rows.map((one) => one.name),
  title: null,
  axis,
});

function probabilityPanel(rows: readonly SuspectRow[]): object {
  const y = sorted(rows, { domain: false, ticks: false });
  const x = {
    field: "percent",
    type: "quantitative",
    title: "probability of being at fault [%]",
    scale: { domain: [0, 100] },
    axis: { tickCount: 5 },
  };
  return {
    width: 210,
    height: { step: 26 },
    layer: [
      {
        mark: { type: "bar", color: ink.sound, height: { band: 0.6 } },
        encoding: {
          x,
          y,
          tooltip: [{ field: "name" }, { field: "percentLabel", title: "at fault" }],
        },
      },
      {
        // A bar that nearly fills the panel carries its label inside, or the label would be cut.
        transform: [{ filter: "datum.percent > 70" }],
        mark: { type: "text", align: "right", dx: -4, color: ink.paper, fontWeight: "bold" },
        encoding: { x, y, text: { field: "percentLabel", type: "nominal" } },
      },
      {
        transform: [{ filter: "datum.percent <= 70" }],
        mark: { type: "text", align: "left", dx: 4 },
        encoding: { x, y, text: { field: "percentLabel", type: "nominal" } },
      },
    ],
  };
}

function resistancePanel(rows: readonly SuspectRow[], largest: number): object {
  const y = sorted(rows, null);
  const x = (field: string) => ({
    field,
    type: "quantitative",
    title: "resistance of the worst contact [Ω], log scale",
    scale: { type: "log", domain: [floorOhms, largest * 10], nice: false },
    axis: { values: [0.1, 1, 10, 100, 1000, 10000], format: ",.1~f" },
  });
  const end = largest * 10;
  return {
    width: 250,
    height: { step: 26 },
    layer: [
      {
        transform: [
          { calculate: `isValid(datum.high) ? datum.high : ${end}`, as: "end" },
          { calculate: `isValid(datum.low) ? datum.low : ${end}`, as: "start" },
        ],
        mark: { type: "rule", color: ink.text, strokeWidth: 1.5 },
        encoding: { x: x("start"), x2: { field: "end" }, y },
      },
      ...["start", "end"].map((end) => ({
        transform: [{ filter: `isValid(datum.${end === "start" ? "low" : "high"})` }],
        mark: { type: "tick", color: ink.text, thickness: 1.5, size: 10 },
        encoding: { x: x(end === "start" ? "low" : "high"), y },
      })),
      {
        transform: [{ filter: "isValid(datum.median)" }],
        mark: { type: "point", filled: true, color: ink.text, size: 40, opacity: 1 },
        encoding: {
          x: x("median"),
          y,
          tooltip: [{ field: "name" }, { field: "ohmsLabel", title: "median" }],
        },
      },
      {
        transform: [{ filter: "datum.open" }, { calculate: `${end}`, as: "end" }],
        mark: { type: "text", text: "open ▶", align: "right", dy: -8, fontSize: 9 },
        encoding: { x: x("end"), y },
      },
      {
        transform: [{ filter: "isValid(datum.median)" }],
        mark: { type: "text", dy: -9, fontSize: 10 },
        encoding: { x: x("median"), y, text: { field: "ohmsLabel", type: "nominal" } },
      },
    ],
  };
}
