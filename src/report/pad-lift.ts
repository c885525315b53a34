import { isAboveLanes, type Place, servedBy } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";

/** Names of devices that nobody has to lift: a backup's button, the start. */
const NOT_LIFTED = /button|start/i;

/**
 * Whether a device may be a pad, by its name: all but buttons and start units may. A wrong yes costs
 * a sentence, a wrong no somebody's back.
 */
export const mayBePad = (device: string): boolean =>
  /pad/i.test(device) || !NOT_LIFTED.test(device);

/**
 * Whether a pad may have to come up for work on a connector: it is a lane's last shared one, or one
 * behind it, where the path may lie under the pad, and serves what may be a pad.
 */
export const mayLiftPad = (pool: Pool, place: Place): boolean =>
  !isAboveLanes(place) &&
  servedBy(pool, place).some(({ path, devices }) => {
    const at = path.findIndex((step) => step.point === place.point);
    const lastShared = path.findLastIndex(({ connector }) => connector.sharing !== "device");
    return at >= lastShared && devices.some(mayBePad);
  });
