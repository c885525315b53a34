import { limitVoltsOr0 } from "../../circuit/limit.ts";
import type { WalkDiagnosis } from "../../domain/findings.ts";
import { isFaulty } from "../../domain/findings.ts";
import { type CircuitName, circuitKey } from "../../domain/place.ts";
import type { Pool } from "../../domain/pool.ts";
import { isResting, type Reading } from "../../domain/reading.ts";
import { english } from "../../words/english.ts";
import { limitText } from "../limit-text.ts";
import { deviceCell, laneCell, leadFinding, voltsText } from "../names.ts";
import { type Chart, chart, ink } from "./theme.ts";

/** What a cell of the map says besides its volts. */
export type CellWord = "" | "weak" | "fault here" | "read again" | "not read";

/** One point of one circuit on the map. */
export interface MapCell {
  readonly lane: string;
  readonly device: string;
  readonly point: string;
  /** The resting reading of this walk that was taken last [V]; null where nobody read. */
  readonly volts: number | null;
  readonly label: string;
  readonly word: CellWord;
}

/** Every point of every circuit that the walk could have read. */
export function mapCells(
  pool: Pool,
  walk: WalkDiagnosis,
  readings: readonly Reading[],
): readonly MapCell[] {
  const faulty = new Set(
    walk.contacts.filter(isFaulty).map((contact) => key(contact, contact.point)),
  );
  const doubtful = new Set(
    walk.readAgain.filter(({ shown }) => shown !== null).map((one) => key(one, one.point)),
  );
  const read = new Map<string, number>();
  for (const one of readings.filter((each) => each.walk === walk.walk && isResting(each)))
    read.set(key(one, one.point), one.volts);
  const limit = limitVoltsOr0(pool);
  return pool.circuits.flatMap((circuit) =>
    circuit.path.map(({ point }): MapCell => {
      const place = key(circuit, point);
      const volts = read.get(place) ?? null;
      const word = cellWord(volts, doubtful.has(place), faulty.has(place), limit);
      const label = volts === null ? "" : volts.toFixed(2);
      return { lane: laneCell(circuit), device: deviceCell(circuit), point, volts, label, word };
    }),
  );
}

const key = (circuit: CircuitName, point: string): string =>
  JSON.stringify([circuitKey(circuit), point]);

/** The strongest thing to say wins: a value that may be false says nothing about the path. */
function cellWord(
  volts: number | null,
  doubtful: boolean,
  faulty: boolean,
  limit: number,
): CellWord {
  if (volts === null) return "not read";
  if (doubtful) return "read again";
  if (faulty) return "fault here";
  return volts < limit ? "weak" : "";
}

/**
 * The lane-by-point map: one row a lane, one column a point, a panel for each device.
 * Each cell prints its volts; what is wrong stands under them in words and as a frame.
 */
export function laneMap(pool: Pool, walk: WalkDiagnosis, readings: readonly Reading[]): Chart {
  const cells = mapCells(pool, walk, readings);
  const finding = leadFinding(walk.connectors);
  const weak = cells.filter((cell) => cell.word === "weak" || cell.word === "fault here");
  const unread = cells.filter((cell) => cell.word === "not read").length;
  const alt =
    `Map of volts by lane and point, walk ${walk.walk}. ${finding}. ` +
    `${weak.length} of ${cells.length} points ${weak.length === 1 ? "is" : "are"} weak or faulty` +
    (unread === 0 ? "." : `, ${unread} ${unread === 1 ? "was" : "were"} not read.`);
  const words = {
    finding,
    subtitle: `Walk ${walk.walk}: volts as read at each point, from the timer out. Solid frame: a fault there is more likely than not (computed). Dashes: weak, under ${limitText(pool, english.figures)}`,
    alt,
  };
  const all = [...new Set(cells.map((cell) => cell.device))];
  const devices = all.filter((device) =>
    cells.some((cell) => cell.device === device && cell.volts !== null),
  );
  const shown = devices.length === 0 ? all : devices;
  const panels = shown.map((device) => {
    const own = cells.filter((cell) => cell.device === device);
    const points = new Set(own.map((cell) => cell.point)).size;
    return { drawing: panel(pool, device, own), width: points * cellWidth + lanesWidth };
  });
  return chart("lane-map", words, { vconcat: inRows(panels), spacing: 18 });
}

/** A cell holds `read again` in letters that are read on paper [px]. */
const cellWidth = 62;
const cellHeight = 32;
/** What the lanes' names take beside a panel, and the gap to the next [px]. */
const lanesWidth = 56;
/** As wide as a page prints without making it smaller [px]. */
const pageWidth = 780;

/** Panels beside each other as long as a page holds them. */
function inRows(panels: readonly { readonly drawing: object; readonly width: number }[]): object[] {
  const rows: { width: number; drawings: object[] }[] = [];
  for (const { drawing, width } of panels) {
    const last = rows.at(-1);
    if (last === undefined || last.width + width > pageWidth)
      rows.push({ width, drawings: [drawing] });
    else {
      last.width += width;
      last.drawings.push(drawing);
    }
  }
  return rows.map(({ drawings }) => ({ hconcat: drawings, spacing: 16 }));
}

function panel(pool: Pool, device: string, cells: readonly MapCell[]): object {
  const x = {
    field: "point",
    type: "nominal",
    sort: pool.points.filter((point) => cells.some((cell) => cell.point === point)),
    title: null,
    axis: { orient: "top", labelAngle: 0, domain: false, ticks: false },
  };
  const y = {
    field: "lane",
    type: "nominal",
    sort: [...pool.lanes.map(String), "none"],
    title: null,
    axis: {
      domain: false,
      ticks: false,
      labelExpr: "datum.value === 'none' ? '' : 'lane ' + datum.value",
    },
  };
  const colour = {
    field: "volts",
    type: "quantitative",
    title: "volts [V]",
    scale: {
      domain: [limitVoltsOr0(pool) - 0.5, pool.supplies[0]!.emf],
      range: ["#93a6b9", "#f4f8fb"],
      clamp: true,
    },
    legend: null,
  };
  return {
    title: { text: device, fontSize: 12, anchor: "middle", offset: 4 },
    width: { step: cellWidth },
    height: { step: cellHeight },
    data: { values: cells.map((cell) => ({ ...cell, says: saidOf(cell) })) },
    encoding: {
      ...{ x, y },
      tooltip: { field: "says", type: "nominal" },
      description: { field: "says", type: "nominal" },
    },
    layer: [
      {
        transform: [{ filter: "isValid(datum.volts)" }],
        mark: { type: "rect", stroke: ink.paper, strokeWidth: 2 },
        encoding: { color: colour },
      },
      frame("fault here", [1, 0]),
      frame("weak", [4, 3]),
      cellText("datum.label && !datum.word", "label", { fontSize: 12 }),
      cellText("datum.label && datum.word", "label", { dy: -6, fontSize: 12, fontWeight: "bold" }),
      cellText("datum.label && datum.word", "word", { dy: 7, fontSize: 9, fontWeight: "bold" }),
      cellText("!datum.label", "word", { fontSize: 10, color: ink.quiet }),
    ],
  };
}

/** Text in a cell: volts alone in its middle, above a word where there is one. */
const cellText = (test: string, field: string, mark: object): object => ({
  transform: [{ filter: test }],
  mark: { type: "text", ...mark },
  encoding: { text: { field, type: "nominal" } },
});

/** What is wrong shows as a frame, whole or dashed, whatever the printer makes of the shading. */
const frame = (word: CellWord, strokeDash: readonly number[]): object => ({
  transform: [{ filter: { field: "word", equal: word } }],
  // Within its cell, or two frames side by side would cover each other.
  mark: {
    type: "rect",
    filled: false,
    strokeWidth: 2,
    stroke: ink.text,
    strokeDash,
    width: { band: 0.92 },
    height: { band: 0.88 },
  },
});

/** A cell as it is read out: `lane 3, touchpad, plate: 4.61 V, weak`. */
function saidOf({ lane, device, point, volts, word }: MapCell): string {
  const where = `${lane === "none" ? "" : `lane ${lane}, `}${device}, ${point}`;
  const notes = [volts === null ? "" : voltsText(volts), word].filter((note) => note !== "");
  return `${where}: ${notes.join(", ")}`;
}
