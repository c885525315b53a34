import type { Circuit, Step } from "../domain/circuit.ts";
import {
  type CircuitName,
  circuitName,
  isAboveLanes,
  isAtLane,
  isOfLane,
  type Lane,
} from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";

/** One reading of the round, where the person will stand for it. */
export interface Stop extends CircuitName {
  readonly point: string;
  readonly connector: string;
  /** At the timer, or at the end of this lane. */
  readonly place: "timer" | "lane";
}

/** Lanes between two lanes: their numbers' difference, or places in the list for named lanes. */
export function lanesApart(pool: Pool, from: Lane | null, to: Lane | null): number {
  if (from === null || to === null) return 0;
  if (typeof from === "number" && typeof to === "number") return Math.abs(from - to);
  return Math.abs(pool.lanes.indexOf(from) - pool.lanes.indexOf(to));
}

/**
 * Every reading in the order with the least walking.
 *
 * What lanes share, and all of a circuit that belongs to no lane, is read at the timer, all circuits
 * in one stand. Then the lanes one after another, starting beside the timer (`from`: the first lane
 * or the last): the deck is a line, so one pass along it is the shortest walk there is. In each lane
 * the points in turn, the devices forth and back (a serpentine), so that the lead moves to a
 * neighbour each time. Where lanes have two ends, the way back is along the other end.
 */
export function roundOrder(pool: Pool, from: "first" | "last" = "first"): Stop[] {
  const lanes = alongDeck(pool.lanes, from);
  const ofLanes = lanes.flatMap((lane) => pool.circuits.filter((one) => isAtLane(one, lane)));
  const ofNone = pool.circuits.filter((one) => !isOfLane(one));
  const timerStops = serpentine(pool, [...ofLanes, ...ofNone], isReadAtTimer).map((at) => ({
    ...at,
    place: "timer" as const,
  }));
  const ends = pool.ends.length === 0 ? [null] : pool.ends;
  const laneStops = ends.flatMap((end, k) =>
    (k % 2 === 0 ? lanes : lanes.toReversed()).flatMap((lane) => {
      const own = pool.circuits.filter((one) => isAtLane(one, lane) && one.end === end);
      const stops = serpentine(pool, own, (step, circuit) => !isReadAtTimer(step, circuit));
      return stops.map((at) => ({ ...at, place: "lane" as const }));
    }),
  );
  return [...timerStops, ...laneStops];
}

const isReadAtTimer = ({ connector }: Step, circuit: Circuit): boolean =>
  isAboveLanes(connector.place) || !isOfLane(circuit);

/** Point after point, all circuits that pass it, every other time in the reverse order. */
function serpentine(
  pool: Pool,
  circuits: readonly Circuit[],
  counts: (step: Step, circuit: Circuit) => boolean,
): Omit<Stop, "place">[] {
  const rows = pool.points.map((point) =>
    circuits.flatMap((circuit) =>
      circuit.path
        .filter((step) => step.point === point && counts(step, circuit))
        .map(({ connector }) => ({ ...circuitName(circuit), point, connector: connector.name })),
    ),
  );
  return rows
    .filter((row) => row.length > 0)
    .flatMap((row, i) => (i % 2 === 0 ? row : row.toReversed()));
}

/** Lanes passed on foot in this order, the timer standing beside the first lane visited. */
export function lanesWalked(pool: Pool, stops: readonly Stop[]): number {
  const visited = stops.filter((s) => s.place === "lane").map((s) => s.lane);
  let walked = 0;
  visited.forEach((lane, i) => {
    if (i > 0) walked += lanesApart(pool, visited[i - 1] ?? lane, lane);
  });
  return walked;
}

/** Numbered lanes in the order of their numbers, whatever the pool file's order; names as listed. */
function alongDeck(lanes: readonly Lane[], from: "first" | "last"): Lane[] {
  const numbered = lanes.every((lane) => typeof lane === "number");
  const sorted = numbered ? [...lanes].sort((a, b) => Number(a) - Number(b)) : [...lanes];
  return from === "first" ? sorted : sorted.reverse();
}
