import { circuitName, type Lane } from "./place.ts";
import type { Pool } from "./pool.ts";
import type { Moment, Reading, ReadingState } from "./reading.ts";
import { volts } from "./units.ts";

/** What a person knows of a reading. */
export interface KnownReading {
  /** Null, or left out, for a circuit of no lane. */
  readonly lane?: Lane | null;
  /** Left out: the lane's first. */
  readonly device?: string;
  readonly end?: string | null;
  readonly point: string;
  /** What the meter showed [V]. */
  readonly volts: number;
  /** Finest step that the meter shows [V]; left out: its resolution in the pool file, else 0.01. */
  readonly step?: number;
  readonly takenAt?: Moment | null;
  /** Left out: the day of `takenAt`, else "walk". */
  readonly walk?: string;
  /** Left out: the pool's first. */
  readonly meter?: string;
  readonly meterOn?: boolean;
  readonly state?: ReadingState;
  readonly note?: string | null;
}

/** A handheld meter's step on its 20 V range, common practice [V]. */
const USUAL_STEP = 0.01;

/** The whole reading; nothing is checked here. */
export function madeReading(pool: Pool, known: KnownReading): Reading {
  const lane = known.lane ?? null;
  const meter = pool.meters.find(({ name }) => name === known.meter) ?? pool.meters[0]!;
  const there = pool.circuits.filter(
    (one) =>
      one.lane === lane &&
      (known.device === undefined || one.devices.includes(known.device)) &&
      (known.end === undefined || one.end === known.end),
  );
  const first = there[0];
  const place =
    first === undefined
      ? { lane, device: known.device ?? "", end: known.end ?? null }
      : { ...circuitName(first), device: known.device ?? first.device };
  return {
    lane: place.lane,
    device: place.device,
    end: place.end,
    point: known.point,
    volts: volts(known.volts),
    step: volts(known.step ?? meter.resolution ?? USUAL_STEP),
    takenAt: known.takenAt ?? null,
    walk: known.walk ?? known.takenAt?.day ?? "walk",
    meter: known.meter ?? meter.name,
    meterOn: known.meterOn ?? false,
    state: known.state ?? "rest",
    id: null,
    by: null,
    note: known.note ?? null,
    line: 0,
  };
}
