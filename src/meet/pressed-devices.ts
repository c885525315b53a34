import { sameCircuit } from "../domain/place.ts";
import type { Pool } from "../domain/pool.ts";
import type { TouchCheck } from "../domain/touch.ts";
import { type DeviceState, deviceState } from "./device-state.ts";
import type { Look } from "./latest-look.ts";
import { switchesOf } from "./possible-repairs.ts";

/** Every device that somebody pressed, with the path's diagnosis beside it where there is one. */
export const pressedDevices = (
  pool: Pool,
  touches: readonly TouchCheck[],
  looks: readonly Look[],
): DeviceState[] =>
  switchesOf(pool)
    .filter((one) => touches.some((touch) => sameCircuit(touch, one)))
    .map((circuit) => deviceState(circuit, { pool, touches, looks, date: null, work: [] }));
