import type { Circuit } from "./circuit.ts";
import { isAtLane, type Lane } from "./place.ts";
import type { LaneNeeds, Pool } from "./pool.ts";

/**
 * Whether a lane has its timing: the one rule that readiness, decisions and the memo go by. A lane is
 * lost where fewer of its devices work than it needs, the first and its fall-backs counted alike; so
 * a dead fall-back beside a working first device loses nothing. A device at both ends of a lane
 * works where it works at both.
 */

/**
 * What a lane needs, of the devices that it has: as the pool file says, else its first device with all
 * others to fall back on, one of them enough. Null for a lane without a device.
 */
export function needsOf(
  { circuits, laneNeeds }: Pick<Pool, "circuits" | "laneNeeds">,
  lane: Lane,
): LaneNeeds | null {
  const has = devicesAt(circuits, lane);
  const [first, ...others] = has;
  if (first === undefined) return null;
  if (laneNeeds === null) return { first, fallBack: others, atLeast: 1 };
  const named = [laneNeeds.first, ...laneNeeds.fallBack].filter((device) => has.includes(device));
  const [own, ...fallBack] = named.length === 0 ? has : named;
  return { first: own!, fallBack, atLeast: Math.min(laneNeeds.atLeast, fallBack.length + 1) };
}

/** The lane's devices, each name once, in the pool's order. */
const devicesAt = (circuits: readonly Circuit[], lane: Lane): readonly string[] => [
  ...new Set(circuits.filter((one) => isAtLane(one, lane)).flatMap(({ devices }) => devices)),
];

/** The devices that a lane's timing hangs on, the first before its fall-backs. */
export const neededDevices = ({ first, fallBack }: LaneNeeds): readonly string[] => [
  first,
  ...fallBack,
];

/** Whether a lane is lost while so many of the devices that it needs work. */
export const isLostWith = ({ atLeast }: LaneNeeds, working: number): boolean => working < atLeast;

/** Whether a lane is lost while these of its devices work. */
export const isLaneLost = (needs: LaneNeeds, works: (device: string) => boolean): boolean =>
  isLostWith(needs, neededDevices(needs).filter(works).length);
