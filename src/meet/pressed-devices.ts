import type { Pool } from "../domain/pool.ts";
import type { TouchCheck } from "../domain/touch.ts";
import { type DeviceState, deviceState } from "./device-state.ts";
import type { Look } from "./latest-look.ts";
import { circuitsOf } from "./possible-repairs.ts";

/** Every device that somebody pressed, with the path's diagnosis beside it where there is one. */
export const pressedDevices = (
  pool: Pool,
  touches: readonly TouchCheck[],
  looks: readonly Look[],
): DeviceState[] =>
  circuitsOf(pool)
    .filter(({ lane, device }) => touches.some((t) => t.lane === lane && t.device === device))
    .map((circuit) => deviceState(circuit, { pool, touches, looks, date: null, work: [] }));
