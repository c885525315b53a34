import { limitVoltsOr0 } from "../../circuit/limit.ts";
import type { WalkDiagnosis } from "../../domain/findings.ts";
import { type CircuitName, circuitKey } from "../../domain/place.ts";
import type { Pool } from "../../domain/pool.ts";
import { isResting, type Reading } from "../../domain/reading.ts";
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
    walk.contacts
      .filter((contact) => contact.sound < 0.5)
      .map((contact) => key(contact, contact.point)),
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
    `${weak.length} of ${cells.length} points are weak` +
    (unread === 0 ? "." : `, ${unread} were not read.`);
  const words = {
    finding,
    subtitle: `Walk ${walk.walk}: volts at each point, from the timer out; weak is under ${limitText(pool)}`,
    alt,
  };
  const all = [...new Set(cells.map((cell) => cell.device))];
  const devices = all.filter((device) =>
    cells.some((cell) => cell.device === device && cell.volts !== null),
  );
  const shown = devices.length === 0 ? all : devices;
  const panels = shown.map((device) =>
    panel(
      pool,
      device,
      cells.filter((cell) => cell.device === device),
      shown.length,
    ),
  );
  return chart("lane-map", words, { hconcat: panels, spacing: 16 });
}

function panel(pool: Pool, device: string, cells: readonly MapCell[], panels: number): object {
  const x = {
    field: "point",
    type: "nominal",
    sort: pool.points.filter((point) => cells.some((cell) => cell.point === point)),
    title: "point (from the timer out)",
    axis: { orient: "top", labelAngle: 0, domain: false, ticks: false },
  };
  const y = {
    field: "lane",
    type: "nominal",
    sort: [...pool.lanes.map(String), "none"],
    title: "lane",
    axis: { domain: false, ticks: false },
  };
  const colour = {
    field: "volts",
    type: "quantitative",
    title: "volts [V]",
    scale: {
      domain: [limitVoltsOr0(pool) - 0.5, pool.supplies[0]!.emf],
      range: ["#6b7f94", "#f4f8fb"],
      clamp: true,
    },
    legend: null,
  };
  return {
    title: { text: device, fontSize: 12, anchor: "middle", offset: 4 },
    width: { step: panels > 2 ? 56 : 76 },
    height: { step: 34 },
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
      {
        transform: [{ filter: "datum.label" }],
        mark: { type: "text", dy: -5, fontSize: 12 },
        encoding: { text: { field: "label", type: "nominal" } },
      },
      {
        transform: [{ filter: "datum.word" }],
        mark: { type: "text", dy: 9, fontSize: 9, fontWeight: "bold" },
        encoding: { text: { field: "word", type: "nominal" } },
      },
    ],
  };
}

/** What is wrong shows as a frame, whole or dashed, whatever the printer makes of the shading. */
const frame = (word: CellWord, strokeDash: readonly number[]): object => ({
  transform: [{ filter: { field: "word", equal: word } }],
  mark: { type: "rect", filled: false, strokeWidth: 2.5, stroke: ink.text, strokeDash },
});

/** A cell as it is read out: `lane 3, touchpad, plate: 4.61 V, weak`. */
function saidOf({ lane, device, point, volts, word }: MapCell): string {
  const where = `${lane === "none" ? "" : `lane ${lane}, `}${device}, ${point}`;
  const notes = [volts === null ? "" : voltsText(volts), word].filter((note) => note !== "");
  return `${where}: ${notes.join(", ")}`;
}
