import { isLaneLost } from "../domain/lane-needs.ts";
import type { Lane } from "../domain/place.ts";
import type { LaneNeeds } from "../domain/pool.ts";
import type { DeviceState } from "./device-state.ts";

/**
 * One lane's verdict: its first device decides, at the end where it is worst; the others that it needs
 * are its fall-back. A circuit of no lane, such as the start's, stands by itself.
 */
export interface LaneReady {
  readonly lane: Lane | null;
  /** Too few of its devices work for the lane to have its timing. */
  readonly lost: boolean;
  readonly verdict: "ready" | "watch" | "not ready";
  readonly primary: DeviceState;
  readonly backups: readonly DeviceState[];
  /** Backup devices of this lane that are proven. */
  readonly fallBack: readonly string[];
  /** The pads are due for readjustment, this lane's among them. */
  readonly padDue: boolean;
}

/** The verdict on one lane. */
export function laneReady(
  needs: LaneNeeds,
  states: readonly DeviceState[],
  padsAreDue: boolean,
): LaneReady {
  const [primary] = states
    .filter(({ device }) => device === needs.first)
    .sort((a, b) => gravity[b.state] - gravity[a.state]);
  if (primary === undefined) throw new Error(`no device ${needs.first} to judge by`);
  const backups = states.filter(({ device }) => needs.fallBack.includes(device));
  const dead = new Set(states.filter(({ state }) => state === "at fault").map((one) => one.device));
  const padDue = padsAreDue && states.some(isPad);
  const verdict =
    primary.state === "at fault"
      ? "not ready"
      : primary.state === "in doubt" || (padDue && isPad(primary))
        ? "watch"
        : "ready";
  return {
    lane: primary.lane,
    lost: isLaneLost(needs, (device) => !dead.has(device)),
    verdict,
    primary,
    backups,
    fallBack: backups.filter((state) => state.state === "proven").map((state) => state.device),
    padDue,
  };
}

/** The worst decides for a device that stands at both ends. */
const gravity: Readonly<Record<DeviceState["state"], number>> = {
  "at fault": 2,
  "in doubt": 1,
  proven: 0,
};

/** What names a lane among those that wait for repairs; a circuit of no lane by its device. */
export const waitingName = ({ lane, primary }: LaneReady): Lane => lane ?? primary.device;

/** Only pads hold air and hang in the water; buttons don't. */
export const isPad = ({ device }: { readonly device: string }): boolean => /pad/i.test(device);
