import { limitVoltsOr0 } from "../../circuit/limit.ts";
import type { CircuitName } from "../../domain/place.ts";
import { isOfLane } from "../../domain/place.ts";
import type { Pool } from "../../domain/pool.ts";
import { isResting, type Reading } from "../../domain/reading.ts";
import { limitText } from "../limit-text.ts";
import { deviceCell, laneCell, sentence, voltsText } from "../names.ts";
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

/**
 * @param device as `deviceCell` writes it: with its end, where lanes have two
 *
 * Volts along each lane's path, one small panel a lane, against what a sound path would show.
 * The eye looks for the point where the solid line leaves the band.
 */
export function pathProfile(
  pool: Pool,
  walk: string,
  device: string,
  readings: readonly Reading[],
  sound: readonly SoundPoint[],
): Chart {
  const measured = readings
    .filter((one) => one.walk === walk && deviceCell(one) === device && isResting(one))
    .map((one) => ({ lane: laneCell(one), point: one.point, volts: one.volts as number }));
  const band = sound
    .filter((one) => deviceCell(one) === device)
    .map((one) => ({ ...one, lane: laneCell(one) }));
  const gaps = measured.flatMap((one) => {
    const expected = band.find((other) => other.lane === one.lane && other.point === one.point);
    return expected === undefined ? [] : [{ ...one, gap: expected.low - one.volts }];
  });
  const worst = gaps.toSorted((a, b) => b.gap - a.gap)[0];
  const below = new Set(gaps.filter((one) => one.gap > 0).map((one) => one.lane));
  const lanes = [...new Set(band.map((one) => one.lane))];
  const points = pool.points.filter((point) => band.some((one) => one.point === point));
  const ofLanes = sound.some((one) => deviceCell(one) === device && isOfLane(one));
  const reading = worst === undefined ? "" : `(${voltsText(worst.volts)} at the ${worst.point})`;
  const finding =
    worst === undefined || worst.gap <= 0
      ? `Every ${device} path read stays where a sound path would be`
      : !ofLanes
        ? `${sentence(device)}: its path falls below a sound one ${reading}`
        : `${sentence(device)}: ${below.size} of ${lanes.length} lanes fall below a sound path, lane ${worst.lane} furthest ${reading}`;
  const words = {
    finding,
    subtitle: `Walk ${walk}: dots and solid line are readings, dashes and band a sound path (90 %), dotted line the limit of ${limitText(pool)}`,
    alt: `Volts along each lane's path, ${device}, walk ${walk}. ${finding}.`,
  };
  const limit: number = limitVoltsOr0(pool);
  const floor = limit - belowLimit;
  const rows = [
    ...band.map((one) => ({ ...one, kind: "sound", limit })),
    ...measured.map((one) => ({
      ...one,
      kind: "read",
      limit,
      drawn: Math.max(one.volts, floor),
      label: one.volts < floor ? one.volts.toFixed(2) : "",
      says: saidOf(one),
    })),
  ];
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
    title: "point",
    axis: { labelAngle: -35, grid: false },
  };
  const y = (field: string) => ({
    field,
    type: "quantitative",
    title: "volts [V]",
    scale: { zero: false, nice: true },
    axis: { tickCount: 4, format: ".1f" },
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
      mark: { type: "text", align: "right", dx: -8, fontSize: 9 },
      encoding: { x, y: y("drawn"), text: { field: "label", type: "nominal" } },
    },
  ];
}

/** A reading as it is read out: `lane 3, plate: 4.61 V`; of a circuit of no lane without the lane. */
const saidOf = (one: { readonly lane: string; readonly point: string; readonly volts: number }) =>
  `${one.lane === "none" ? "" : `lane ${one.lane}, `}${one.point}: ${voltsText(one.volts)}`;
