import { type CircuitName, sameCircuit } from "../domain/place.ts";
import type { Round } from "../meet/round.ts";
import type { Stop } from "../meet/round-order.ts";
import { deviceCell, laneCell } from "./names.ts";

/** One circuit's row: a box for each of its points. */
export interface RoundRow {
  readonly lane: string;
  readonly device: string;
  readonly points: ReadonlySet<string>;
}

/** One point's column. */
export interface RoundColumn {
  readonly point: string;
  readonly place: Stop["place"];
  /** Volts that a first reading should have, `4.89 to 5.10`; null behind the first point. */
  readonly range: string | null;
  /** The drop that would matter, `drop over 0.07`; null at the first point, or where nobody knows. */
  readonly drop: string | null;
}

/** What fits on one side of paper: a pool's circuits, or those of one end. */
export interface RoundPage {
  /** Null where the pool's lanes have one end only. */
  readonly end: string | null;
  readonly columns: readonly RoundColumn[];
  readonly rows: readonly RoundRow[];
}

/** The round by lanes and points: rows as one walks along them, columns in the chain's order. */
export function roundPages(round: Round): readonly RoundPage[] {
  const stops = round.windows.flatMap((window) => window.stops);
  const ends = [...new Set(stops.map(({ end }) => end).filter((end) => end !== null))];
  if (ends.length === 0) return [pageOf(round, null, stops)];
  // What is of no end stands with the first.
  return ends.map((end, k) =>
    pageOf(
      round,
      end,
      stops.filter((stop) => stop.end === end || (k === 0 && stop.end === null)),
    ),
  );
}

function pageOf(round: Round, end: string | null, stops: readonly Stop[]): RoundPage {
  const circuits: CircuitName[] = [];
  for (const stop of stops)
    if (!circuits.some((one) => sameCircuit(one, stop))) circuits.push(stop);
  const points = [...new Set(stops.map(({ point }) => point))];
  return {
    end,
    columns: points.map((point) => {
      const own = stops.filter((stop) => stop.point === point);
      const place = own.some((stop) => stop.place === "lane") ? "lane" : "timer";
      return { point, place, ...figuresOf(round, point) };
    }),
    rows: circuits.map((circuit) => ({
      lane: laneCell(circuit),
      device: deviceCell(circuit),
      points: new Set(stops.filter((stop) => sameCircuit(stop, circuit)).map(({ point }) => point)),
    })),
  };
}

/** What of a reading at this point would matter, as words. */
export function figuresOf(
  { expected }: Round,
  point: string,
): { readonly range: string | null; readonly drop: string | null } {
  const found = expected?.find((one) => one.point === point);
  if (found === undefined) return { range: null, drop: null };
  return found.drop > 0
    ? { range: null, drop: `drop over ${found.drop.toFixed(2)}` }
    : { range: `${found.low.toFixed(2)} to ${found.high.toFixed(2)}`, drop: null };
}
