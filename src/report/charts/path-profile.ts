import { limitVoltsOr0 } from "../../circuit/limit.ts";
import type { WalkDiagnosis } from "../../domain/findings.ts";
import { isFaulty } from "../../domain/findings.ts";
import type { CircuitName } from "../../domain/place.ts";
import { isOfLane } from "../../domain/place.ts";
import type { Pool } from "../../domain/pool.ts";
import { isResting, type Reading } from "../../domain/reading.ts";
import { english } from "../../words/english.ts";
import { sentence } from "../../words/figure-words.ts";
import { limitText } from "../limit-text.ts";
import { deviceCell, laneCell, voltsText } from "../names.ts";
import { slug } from "./slug.ts";
import { type Chart, chart, ink } from "./theme.ts";

/** What a sound path would show at one point of one circuit [V], with its 90 % interval. */
export interface SoundPoint extends CircuitName {
  readonly point: string;
  readonly median: number;
  readonly low: number;
  readonly high: number;
}

/**
 * A dead path reads 0: drawn to scale it would flatten every other line. What lies further than
 * this under the limit is drawn as a triangle at the bottom, with its volts [V].
 */
const belowLimit = 0.6;

/** A reading of the device with the band that a sound path has there. */
interface Measured {
  readonly lane: string;
  readonly point: string;
  readonly volts: number;
  /** How far it lies under the band [V]; negative within or over it. */
  readonly under: number;
}

/** The contacts of the device's circuits that are more likely faulty than sound, lane by lane. */
function faultsOf(walk: WalkDiagnosis, device: string, measured: readonly Measured[]): string[] {
  return walk.contacts
    .filter((one) => deviceCell(one) === device && isFaulty(one))
    .map((one) => {
      const lane = isOfLane(one) ? `on lane ${one.lane} ` : "";
      const read = measured.find((at) => at.lane === laneCell(one) && at.point === one.point);
      return `${lane}at the ${one.point}${read === undefined ? "" : ` (${voltsText(read.volts)})`}`;
    });
}

/** The device's suspects; with none, whether anything was read lower than a sound path leaves it. */
function findingOf(walk: WalkDiagnosis, device: string, measured: readonly Measured[]): string {
  const name = sentence(device);
  const faults = faultsOf(walk, device, measured);
  if (faults.length > 0) return `${name}: volts fall ${faults.join(", ")}`;
  const [lowest] = measured.toSorted((a, b) => b.under - a.under);
  if (lowest === undefined || lowest.under <= 0)
    return `${name}: every path read stays where a sound path would be`;
  const lane = lowest.lane === "none" ? "" : ` of lane ${lowest.lane}`;
  return `${name}: nothing suspect; lowest reading ${voltsText(lowest.volts)} at the ${lowest.point}${lane}`;
}

/**
 * Volts along each lane's path, one small panel a lane, against what a sound path would show.
 * The eye looks for the point where the solid line leaves the band.
 *
 * @param device as `deviceCell` writes it: with its end, where lanes have two
 */
export function pathProfile(
  pool: Pool,
  walk: WalkDiagnosis,
  device: string,
  readings: readonly Reading[],
  sound: readonly SoundPoint[],
): Chart {
  const band = sound
    .filter((one) => deviceCell(one) === device)
    .map((one) => ({ ...one, lane: laneCell(one) }));
  const measured = readings
    .filter((one) => one.walk === walk.walk && deviceCell(one) === device && isResting(one))
    .map((one): Measured => {
      const at = { lane: laneCell(one), point: one.point, volts: one.volts as number };
      const beside = band.find((other) => other.lane === at.lane && other.point === at.point);
      return { ...at, under: beside === undefined ? -Infinity : beside.low - at.volts };
    });
  const limit: number = limitVoltsOr0(pool);
  const floor = limit - belowLimit;
  const isCut = measured.some((one) => one.volts < floor);
  const finding = findingOf(walk, device, measured);
  const words = {
    finding,
    subtitle: `Walk ${walk.walk}: dots were read. Dashes and band: a sound path, computed, nine readings in ten lie in it. Dotted line: the limit, ${limitText(pool, english.figures)}${isCut ? ". Triangles were read lower than they are drawn: their volts stand beside them" : ""}`,
    alt: `Volts along each lane's path, ${device}, walk ${walk.walk}. ${finding}.`,
  };
  const rows = [
    ...band.map((one) => ({ ...one, kind: "sound", limit })),
    ...measured.map(({ lane, point, volts }) => ({
      ...{ lane, point, volts, limit },
      kind: "read",
      drawn: Math.max(volts, floor),
      label: volts < floor ? volts.toFixed(2) : "",
      says: saidOf({ lane, point, volts }),
    })),
  ];
  const lanes = [...new Set(band.map((one) => one.lane))];
  const points = pool.points.filter((point) => band.some((one) => one.point === point));
  return chart(`path-${slug(device.replaceAll(/[()]/g, ""))}`, words, {
    data: { values: rows },
    facet: {
      field: "lane",
      type: "nominal",
      title: null,
      sort: lanes,
      header: { labelExpr: "datum.value === 'none' ? '' : 'Lane ' + datum.value" },
    },
    columns: 4,
    spacing: 14,
    spec: { width: 136, height: 110, layer: layers(points, floor) },
  });
}

function layers(points: readonly string[], floor: number): object[] {
  const x = {
    field: "point",
    type: "nominal",
    sort: points,
    title: null,
    axis: { labelAngle: -35, grid: false },
  };
  const y = (field: string) => ({
    field,
    type: "quantitative",
    title: "volts [V]",
    scale: { zero: false, nice: true },
    axis: { tickCount: 4, format: ".2f" },
  });
  const only = (kind: string) => [{ filter: { field: "kind", equal: kind } }];
  return [
    {
      transform: only("sound"),
      mark: { type: "area", color: ink.band, opacity: 0.6 },
      encoding: { x, y: y("low"), y2: { field: "high" } },
    },
    {
      transform: only("sound"),
      mark: { type: "line", color: ink.sound, strokeDash: [5, 3], strokeWidth: 1.5 },
      encoding: { x, y: y("median") },
    },
    {
      mark: { type: "rule", color: ink.quiet, strokeDash: [1, 3] },
      encoding: {
        y: { aggregate: "min", field: "limit", type: "quantitative", title: "volts [V]" },
      },
    },
    ...readLayers(x, y, floor),
  ];
}

function readLayers(x: object, y: (field: string) => object, floor: number): object[] {
  const read = { filter: { field: "kind", equal: "read" } };
  const below = { filter: `datum.volts < ${floor}` };
  const said = { field: "says", type: "nominal" };
  const spoken = { tooltip: said, description: said };
  return [
    {
      transform: [read],
      mark: { type: "line", color: ink.text, strokeWidth: 1.5 },
      encoding: { x, y: y("drawn") },
    },
    {
      transform: [read, { filter: `datum.volts >= ${floor}` }],
      mark: { type: "point", filled: true, color: ink.text, size: 36, opacity: 1 },
      encoding: { x, y: y("drawn"), ...spoken },
    },
    {
      transform: [read, below],
      mark: {
        type: "point",
        filled: true,
        shape: "triangle-down",
        color: ink.text,
        size: 70,
        opacity: 1,
      },
      encoding: { x, y: y("drawn"), ...spoken },
    },
    {
      transform: [read, below],
      // Above the mark and to its right, where no line comes down.
      mark: { type: "text", align: "left", dx: -4, dy: -10, fontSize: 10 },
      encoding: { x, y: y("drawn"), text: { field: "label", type: "nominal" } },
    },
  ];
}

/** A reading as it is read out: `lane 3, plate: 4.61 V`; of a circuit of no lane without the lane. */
const saidOf = (one: { readonly lane: string; readonly point: string; readonly volts: number }) =>
  `${one.lane === "none" ? "" : `lane ${one.lane}, `}${one.point}: ${voltsText(one.volts)}`;
