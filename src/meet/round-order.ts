import type { ChainLink, Lane, Pool } from "../domain/pool.ts";

/** One reading of the round, where the person will stand for it. */
export interface Stop {
  readonly lane: Lane;
  readonly device: string;
  readonly point: string;
  readonly connector: string;
  /** At the timer, or at the end of this lane. */
  readonly place: "timer" | "lane";
}

/** Lanes between two lanes: their numbers' difference, or places in the list for named lanes. */
export function lanesApart(pool: Pool, from: Lane, to: Lane): number {
  if (typeof from === "number" && typeof to === "number") return Math.abs(from - to);
  return Math.abs(pool.lanes.indexOf(from) - pool.lanes.indexOf(to));
}

/**
 * Every reading in the order with the least walking.
 *
 * What the whole pool shares is read at the timer, all circuits in one stand. Then the lanes one
 * after another, starting beside the timer (`from`: the first lane or the last): the deck is a line,
 * so one pass along it is the shortest walk there is. In each lane the chain's points in turn, the
 * devices forth and back (a serpentine), so that the lead moves to a neighbour each time.
 */
export function roundOrder(pool: Pool, from: "first" | "last" = "first"): Stop[] {
  const atTimer = pool.chain.filter((link) => link.sharedBy === "pool");
  const atLane = pool.chain.filter((link) => link.sharedBy !== "pool");
  const lanes = alongDeck(pool.lanes, from);
  const timerStops = atTimer.flatMap((link, i) =>
    (i % 2 === 0 ? lanes : [...lanes].reverse()).flatMap((lane) =>
      pool.devices.map((device) => stop(link, lane, device, "timer")),
    ),
  );
  const laneStops = lanes.flatMap((lane) =>
    atLane.flatMap((link, i) =>
      (i % 2 === 0 ? pool.devices : [...pool.devices].reverse()).map((device) =>
        stop(link, lane, device, "lane"),
      ),
    ),
  );
  return [...timerStops, ...laneStops];
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

const stop = (link: ChainLink, lane: Lane, device: string, place: Stop["place"]): Stop => ({
  lane,
  device,
  point: link.point,
  connector: link.connector,
  place,
});
