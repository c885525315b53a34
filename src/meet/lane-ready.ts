import type { Lane } from "../domain/place.ts";
import type { DeviceState } from "./device-state.ts";

/** One lane's verdict: its first device decides, the others are its fall-back. */
export interface LaneReady {
  readonly lane: Lane;
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
  lane: Lane,
  states: readonly DeviceState[],
  padsAreDue: boolean,
): LaneReady {
  const [primary, ...backups] = states;
  if (primary === undefined) throw new Error(`lane ${lane} has no device`);
  const padDue = padsAreDue && states.some(isPad);
  const verdict =
    primary.state === "at fault"
      ? "not ready"
      : primary.state === "in doubt" || (padDue && isPad(primary))
        ? "watch"
        : "ready";
  return {
    lane,
    verdict,
    primary,
    backups,
    fallBack: backups.filter((state) => state.state === "proven").map((state) => state.device),
    padDue,
  };
}

/** Only pads hold air and hang in the water; buttons don't. */
export const isPad = ({ device }: { readonly device: string }): boolean => /pad/i.test(device);
