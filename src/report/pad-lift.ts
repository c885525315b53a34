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
export function mayLiftPad(
  { chain, devices }: Pool,
  { point, device }: { readonly point: string; readonly device: string | null },
): boolean {
  const at = chain.findIndex((link) => link.point === point);
  const lastShared = chain.findLastIndex((link) => link.sharedBy !== "device");
  if (at < lastShared || chain[at]?.sharedBy === "pool") return false;
  return device === null ? devices.some(mayBePad) : mayBePad(device);
}
